"""Reads an exported archive with two readers from PyPI and holds what they see against the season."""

import csv
import logging
import pathlib
import sys

import dwcahandler
from dwca.read import DwCAReader
from dwcahandler import DwcaHandler, MetaElementTypes

folder = pathlib.Path(sys.argv[1])
archive = str(folder / "season.zip")
DWC = "http://rs.tdwg.org/dwc/terms/"


def qn(term):
    return DWC + term


# First reader: rows, extensions by their core id, metadata.
with DwCAReader(archive) as dwca:
    assert dwca.core_contains_term(qn("scientificName"))
    assert dwca.descriptor.core.type == DWC + "Occurrence"
    assert sorted(dwca.descriptor.extensions_type) == [DWC + "Identification", DWC + "MeasurementOrFact"]
    assert dwca.metadata.find("dataset/title").text == "Oren valley reference collection"
    rows = {row.data[qn("recordNumber")]: row for row in dwca}
    assert len(rows) == 9, sorted(rows)
    poppy = rows["1042"]
    history = [e.data for e in poppy.extensions if e.rowtype == DWC + "Identification"]
    names = [h[qn("verbatimIdentification")] for h in history]
    assert names == ["Papaver cf. rhoeas L.", "Papaver dubium L.", "Papaver dubium L."], names
    assert poppy.data[qn("scientificName")] == "Papaver dubium L."
    assert poppy.data[qn("identificationID")] == history[1][qn("identificationID")]
    assert history[0][qn("identificationQualifier")] == "cf. rhoeas"
    assert history[0][qn("scientificName")] == "Papaver rhoeas L."
    seen = [e.data for e in poppy.extensions if e.rowtype == DWC + "MeasurementOrFact"]
    assert [s[qn("measurementValue")] for s in seen][-1] == "34"
    assert rows["s.n."].data[qn("locality")] == 'the "lower" field, <north> & east'
    iris = rows["1046"].data
    assert iris[qn("decimalLatitude")] == "33.5" and iris[qn("locality")] == ""
    assert "withheld" in iris[qn("informationWithheld")]
    for row in rows.values():
        assert row.data[qn("coordinateUncertaintyInMeters")] != "0"
    print(f"python-dwca-reader: {len(rows)} occurrences, history and measurements as recorded")

# Second reader: its validation, and its own lists of terms and row types.
logging.disable(logging.CRITICAL)
keys = {MetaElementTypes.OCCURRENCE: ["occurrenceID"]}
assert DwcaHandler.validate_dwca(archive, content_keys=keys), "dwcahandler does not validate the archive"
terms_folder = pathlib.Path(dwcahandler.__file__).parent / "dwca" / "terms"
known = {row["uri"] for row in csv.DictReader(open(terms_folder / "terms.csv"))}
types = {row["class_uri"] for row in csv.DictReader(open(terms_folder / "class-rowtype.csv"))}
with DwCAReader(archive) as dwca:
    files = [dwca.descriptor.core, *dwca.descriptor.extensions]
    used = {field["term"] for f in files for field in f.fields}
    assert {f.type for f in files} <= types
unknown = {t for t in used if t not in known and not t.startswith("http://purl.org/dc/")}
assert not unknown, f"terms that dwcahandler's list does not hold: {sorted(unknown)}"
broken = folder / "broken.zip"
broken.write_bytes(pathlib.Path(archive).read_bytes()[:-200])
try:
    DwcaHandler.validate_dwca(str(broken), content_keys=keys)
    raise SystemExit("a broken archive was taken for a whole one: the check proves nothing")
except SystemExit:
    raise
except Exception:
    pass
print(f"dwcahandler: valid; all {len(used)} terms are in its list")

# The simple file: term names only, each once.
with open(folder / "simple.csv", newline="") as f:
    head = next(csv.reader(f))
local = {t.rsplit("/", 1)[1] for t in known} | {"type", "license"}
assert len(set(head)) == len(head) and set(head) <= local, set(head) - local
print(f"simple CSV: {len(head)} columns, all of them terms")
