"""Compares the project's reading of names with that of a second parser from PyPI."""

import json
import pathlib
import sys

import nameparser

rows = json.loads((pathlib.Path(sys.argv[1]) / "names.json").read_text())

# Where the two differ, and why the project keeps its own reading.
DIFFER = {
    "Amaranthus subgenus Albersia (Kunth) Grenier & Godron": "rank written out: read as an epithet there",
    "Papaver sp.": "taken there for an informal name without parts",
}

agreed = 0
differing = []
for row in rows:
    text = row["verbatim"]
    try:
        p = nameparser.parse(text)
    except nameparser.UnparsableNameError:
        differing.append((text, "not parsed there"))
        continue
    if not isinstance(p, nameparser.ParsedName):
        differing.append((text, f"no full name there: {p}"))
        continue
    authors = lambda a: " ".join(
        x for x in ["&".join(a.ex_authors) + " ex" if a.ex_authors else "", " & ".join(a.authors)] if x
    )
    squeeze = lambda s: (s or "").replace(" ", "")
    doubt = next(iter((p.epithet_qualifier or {}).values()), None)
    theirs = {
        "rank": p.rank,
        "genus": p.uninomial or p.genus,
        "species": p.specific_epithet,
        "below": p.infraspecific_epithet,
        "cultivar": p.cultivar_epithet,
        "hybrid": bool(p.notho),
        "basionym": squeeze(authors(p.basionym_authorship)),
        "authors": squeeze(authors(p.combination_authorship)),
        "doubt": doubt,
    }
    ours = {
        **{k: row[k] for k in ["rank", "genus", "species", "below", "cultivar", "hybrid", "doubt"]},
        "basionym": squeeze(row["basionym"]),
        "authors": squeeze(row["authors"]),
    }
    # a genus is "uninomial, rank not said" there
    if theirs["rank"] == "UNRANKED" and row["species"] is None:
        theirs["rank"] = row["rank"]
    if theirs == ours:
        agreed += 1
    else:
        what = {k: (ours[k], theirs[k]) for k in ours if ours[k] != theirs[k]}
        differing.append((text, f"ours, theirs: {what}"))

unexpected = [d for d in differing if d[0] not in DIFFER]
for text, what in differing:
    print(f"  differs: {text}: {DIFFER.get(text, what)}")
print(f"gbif-name-parser: {agreed} of {len(rows)} names read alike, {len(differing)} differ")
assert not unexpected, unexpected
assert agreed >= len(rows) - len(DIFFER)
