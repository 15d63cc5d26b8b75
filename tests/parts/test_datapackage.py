"""The published description of the data files is the one the package checks by, and Frictionless accepts it.

Frictionless (the open Data Package standard's own library) is the outside check: it reads the descriptor and every
row by itself.
"""

import csv
import json

import frictionless
import pytest

from trimkit.parts.catalogue import data_folder
from trimkit.parts.datapackage import data_package, descriptor_text
from trimkit.parts.rows import TABLES


def test_the_descriptor_is_up_to_date():
    committed = (data_folder() / "datapackage.json").read_text(encoding="utf-8")
    assert committed == descriptor_text(), "run: python -m trimkit.parts.datapackage > data/datapackage.json"


@pytest.mark.filterwarnings("default")
def test_frictionless_finds_every_file_valid():
    report = frictionless.validate(str(data_folder() / "datapackage.json"))
    assert report.valid, report.flatten(["path", "rowNumber", "fieldName", "message"])
    assert [task.place for task in report.tasks] == list(TABLES)


@pytest.mark.parametrize("file", TABLES)
def test_the_header_of_each_file_is_the_described_one(file):
    with (data_folder() / file).open(encoding="utf-8", newline="") as lines:
        header = next(csv.reader(lines))
    resource = next(r for r in json.loads(descriptor_text())["resources"] if r["path"] == file)
    assert header == [field["name"] for field in resource["schema"]["fields"]]


@pytest.mark.parametrize("resource", data_package()["resources"], ids=lambda r: r["path"])
def test_every_number_has_a_unit_and_limits_and_every_table_a_standing(resource):
    assert resource["standing"] == "invented for the demo"
    for field in resource["schema"]["fields"]:
        if field["type"] == "number":
            assert field["unit"]
            assert field["constraints"]["minimum"] < field["constraints"]["maximum"]


def test_only_a_column_that_may_be_left_out_is_not_required():
    fields = [(r["path"], field) for r in data_package()["resources"] for field in r["schema"]["fields"]]
    optional = [(path, field["name"]) for path, field in fields if not field["constraints"]["required"]]
    assert optional == [
        ("heads.csv", "bbgl_in"),
        ("shafts.csv", "most_tip_trim_in"),
        ("shaft_sections.csv", "wall_in"),
        ("taper_families.csv", "bbgl_reference_in"),
    ]


def test_frictionless_takes_a_family_with_an_empty_reference_and_refuses_one_out_of_range(tmp_path):
    (resource,) = [r for r in data_package()["resources"] if r["path"] == "taper_families.csv"]
    for cell, valid in (("", True), ("1.0", True), ("25.4", False)):
        (tmp_path / "taper_families.csv").write_text(
            f"family,club,raw_length_in,bbgl_reference_in\na,7-iron,37.75,{cell}\n", encoding="utf-8"
        )
        (tmp_path / "datapackage.json").write_text(
            json.dumps({"name": "one", "resources": [resource]}), encoding="utf-8"
        )
        assert frictionless.validate(str(tmp_path / "datapackage.json")).valid is valid
