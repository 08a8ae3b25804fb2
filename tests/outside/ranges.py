"""Iris and penguins: ranges from one half of the specimens, the other half identified.

python ranges.py HILUM IRIS.csv PENGUINS.csv. Every other pair of rows makes the key: for each
species and measure its usual range (the middle nine tenths, which is what the program takes a usual
range for) and its extremes, as a flora would print them. The other rows go through `hilum batch`.
scikit-learn (PyPI) is trained on the same half and asked about the same other half. Prints the
rates; fails where the first name of the program is right less often than MARGIN below the least of
scikit-learn's three, for a key knows only ranges.

Iris: R. A. Fisher 1936, Annals of Eugenics 7:179-188. Penguins: Gorman, Williams and Fraser 2014,
PLoS ONE 9(3):e90081.
"""

import csv
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from sklearn.naive_bayes import GaussianNB
from sklearn.neighbors import KNeighborsClassifier
from sklearn.preprocessing import StandardScaler
from sklearn.pipeline import make_pipeline
from sklearn.tree import DecisionTreeClassifier

MARGIN = 0.10


def rows(path, species, measures):
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            if all(row[m] not in ("", "NA") for m in measures):
                yield row[species], [float(row[m]) for m in measures]


def key(train, organs, names):
    """A key file: two leads that part nothing by themselves, and an account a species."""
    lines = ["Key from half of a table", "", "characters", ""]
    for organ, unit in organs:
        lines += [f"{organ.lower()}: {organ} _", f"  measure   {unit}", ""]
    lines += ["key", ""]
    species = sorted(names)
    for i, s in enumerate(species[:-1], 1):
        after = str(i + 1) if i < len(species) - 1 else names[species[-1]]
        lines += [f"{i}a  As {s} ..... {names[s]}", f"{i}b  Otherwise ..... {after}", ""]
    lines += ["taxa", ""]
    for s in species:
        values = np.array([v for n, v in train if n == s])
        said = []
        for k, (organ, unit) in enumerate(organs):
            low, q, r, high = np.quantile(values[:, k], [0, 0.05, 0.95, 1], method="nearest")
            unit = "" if unit == "count" else f" {unit}"
            said.append(f"{organ} ({low:g}-){q:g}-{r:g}(-{high:g}){unit}")
        lines += [names[s], "  " + "; ".join(said) + ".", ""]
    return "\n".join(lines)


def ask(hilum, text, test, organs, names):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "half.key")
        path.write_text(text)
        asked = "".join(
            json.dumps({"observations": [
                f"{organ} {value:g}" + ("" if unit == "count" else f" {unit}")
                for (organ, unit), value in zip(organs, values)
            ]}) + "\n"
            for _, values in test
        )
        done = subprocess.run([hilum, "batch", path], input=asked, text=True, capture_output=True)
        assert done.returncode == 0, (done.stdout[:400], done.stderr)
    first, among, settled, settled_right = 0, 0, 0, 0
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(test)
    for (species, _), answer in zip(test, answers):
        ranked = [n["taxon"] for n in answer["names"]]
        right = bool(ranked) and ranked[0] == names[species]
        first += right
        among += names[species] in [n["taxon"] for n in answer["names"] if n["misfits"] == 0]
        if answer["verdict"] == "settled":
            settled += 1
            settled_right += right
    return first / len(test), among / len(test), settled, settled_right


def trial(hilum, title, data, organs, names):
    data = list(data)
    # Pairs go to either half by turns: in penguins.csv the rows of a pair are its two sexes.
    train = [d for i, d in enumerate(data) if i // 2 % 2 == 0]
    test = [d for i, d in enumerate(data) if i // 2 % 2 == 1]
    first, among, settled, right = ask(hilum, key(train, organs, names), test, organs, names)
    x, y = [v for _, v in train], [s for s, _ in train]
    rates = {}
    for name, model in (
        ("tree", DecisionTreeClassifier(random_state=0)),
        ("Gaussian Bayes", GaussianNB()),
        ("5 neighbours", make_pipeline(StandardScaler(), KNeighborsClassifier(5))),
    ):
        rates[name] = model.fit(x, y).score([v for _, v in test], [s for s, _ in test])
    theirs = ", ".join(f"{k} {v:.3f}" for k, v in rates.items())
    print(f"{title}: {len(train)} described, {len(test)} named")
    print(f"  hilum: first name right {first:.3f}; right name agrees {among:.3f}; "
          f"settled {settled}, of these right {right}")
    print(f"  scikit-learn on the same halves: {theirs}")
    assert first >= min(rates.values()) - MARGIN, "far below the least of the others"


def main():
    hilum, iris, penguins = sys.argv[1:4]
    trial(
        hilum, "iris",
        rows(iris, "Species", ["Sepal.Length", "Sepal.Width", "Petal.Length", "Petal.Width"]),
        [("Sepal length", "cm"), ("Sepal width", "cm"), ("Petal length", "cm"), ("Petal width", "cm")],
        {s: f"Iris {s}" for s in ("setosa", "versicolor", "virginica")},
    )
    trial(
        hilum, "penguins",
        rows(penguins, "species", ["bill_length_mm", "bill_depth_mm", "flipper_length_mm", "body_mass_g"]),
        [("Bill length", "mm"), ("Bill depth", "mm"), ("Flipper length", "mm"), ("Body mass", "count")],
        {"Adelie": "Pygoscelis adeliae", "Gentoo": "Pygoscelis papua", "Chinstrap": "Pygoscelis antarcticus"},
    )


main()
