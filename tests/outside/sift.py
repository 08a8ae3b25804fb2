"""The engine beside two column stores on the same table, in the same run: one narrowing, and every
state of every character counted over what is left.

python sift.py TAXA THE-BENCH'S-BINARY. The table is that of tests/benches/large.rs, made here a
second time from the same numbers; the counts must agree before any time is compared. polars and
DuckDB (both from PyPI) use all cores, the engine one.
"""

import json
import os
import subprocess
import sys
import time

import duckdb
import numpy as np
import polars as pl

CHARACTERS = 500
U = np.uint64


def numbers(rows, character):
    """splitmix64 of row and character, as in tests/benches/large.rs."""
    with np.errstate(over="ignore"):
        z = (np.arange(rows, dtype=U) << U(16) | U(character)) + U(0x9E3779B97F4A7C15)
        z = (z ^ (z >> U(30))) * U(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> U(27))) * U(0x94D049BB133111EB)
        return z ^ (z >> U(31))


def states(character):
    return 2 + character % 5 if character % 8 != 7 else None


def table(rows):
    """A bit a state; where nothing is known, all bits. A measure is its lowest and highest."""
    columns = {}
    for c in range(CHARACTERS):
        n = numbers(rows, c)
        unknown = n % U(100) < U(10)
        count = states(c)
        if count:
            one = (n >> U(8)) % U(count)
            bits = U(1) << one
            both = bits | (U(1) << ((one + U(1)) % U(count)))
            bits = np.where(n % U(100) < U(25), both, bits)
            columns[f"c{c}"] = np.where(unknown, U(255), bits).astype(np.uint8)
        else:
            low = (n >> U(8)).astype(np.int64) % 200
            high = low + (n >> U(20)).astype(np.int64) % 40 + 1
            columns[f"c{c}l"] = np.where(unknown, -9999, low).astype(np.int16)
            columns[f"c{c}h"] = np.where(unknown, 9999, high + 10).astype(np.int16)
    return columns


def least(rounds, work):
    best = float("inf")
    for _ in range(rounds):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    return best, result


def main():
    rows, bench = int(sys.argv[1]), sys.argv[2]
    env = dict(os.environ, SIFT_TAXA=str(rows), SIFT_PLAIN="1")
    ours = json.loads(subprocess.run([bench], env=env, check=True, capture_output=True).stdout)

    columns = table(rows)
    frame = pl.DataFrame(columns)
    db = duckdb.connect()
    db.register("frame", frame)
    db.execute("create table t as select * from frame")
    some = [c for c in range(CHARACTERS) if states(c)]

    # What c0 = the first state and c5 = the second leave.
    left = frame.filter((pl.col("c0") & 1 != 0) & (pl.col("c5") & 2 != 0))
    assert left.height == ours["left"], (left.height, ours)

    def narrow_polars():
        mask = frame["c0"] & 1 != 0
        for c in some[:64]:
            mask = mask & (frame[f"c{c}"] & 1 != 0)
        return mask.sum()

    def narrow_duckdb():
        for c in some[:64]:
            db.execute(f"select count(*) from t where c{c} & 1 <> 0").fetchone()

    expressions = [
        ((pl.col(f"c{c}") & (1 << s)) != 0).sum().alias(f"c{c}_{s}")
        for c in some for s in range(states(c))
    ]
    keep = (pl.col("c0") & 1 != 0) & (pl.col("c5") & 2 != 0)
    sums = ", ".join(
        f"count_if(c{c} & {1 << s} <> 0)" for c in some for s in range(states(c))
    )

    def rank_polars():
        return sum(frame.lazy().filter(keep).select(expressions).collect().row(0))

    def rank_duckdb():
        return sum(db.execute(f"select {sums} from t where c0 & 1 <> 0 and c5 & 2 <> 0").fetchone())

    rounds = 5
    narrow = {
        "polars": least(rounds, narrow_polars)[0] / 64 * 1e6,
        "duckdb": least(rounds, narrow_duckdb)[0] / 64 * 1e6,
    }
    rank = {}
    for name, work in (("polars", rank_polars), ("duckdb", rank_duckdb)):
        seconds, counted = least(rounds, work)
        assert counted == ours["counted"], (name, counted, ours["counted"])
        rank[name] = seconds * 1e3

    print(f"{rows} taxa by {CHARACTERS} characters, polars {pl.__version__}, DuckDB {duckdb.__version__}")
    for what, mine, theirs, unit in (
        ("one narrowing", ours["narrowing_us"], narrow, "us"),
        ("every state counted", ours["states_ms"], rank, "ms"),
    ):
        faster = min(theirs.values())
        each = ", ".join(f"{k} {v:.2f} {unit}" for k, v in theirs.items())
        print(f"  {what:<20} hilum {mine:.3f} {unit}, {each}: {faster / mine:.1f} times the faster")


main()
