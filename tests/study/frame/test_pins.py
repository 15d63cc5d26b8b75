"""Pins saved from a lab: read back by csv and json, in the working folder and nowhere else, never over a file."""

import csv
import json

import pytest

from trimkit.parts.errors import SaveError
from trimkit.study import what_if_lab
from trimkit.study.frame.pins import pin_path


@pytest.fixture
def lab(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lab = what_if_lab()
    lab.set(head_mass_g=-4.0)
    lab.pin()
    lab.set(club="4-iron", grip_mass_g=10.0)
    lab.pin()
    return lab


def test_csv_holds_every_pin_with_units(lab, tmp_path):
    path = lab.save("csv", "my tries")
    assert path == tmp_path / "my tries.csv"
    with path.open(encoding="utf-8", newline="") as file:
        first, second = csv.DictReader(file)
    assert [first["pin"], second["pin"]] == ["A", "B"]
    assert [first["club"], second["club"]] == ["7-iron", "4-iron"]
    assert float(first["head mass, heavier + (g)"]) == -4.0
    pin = lab.pins[1]
    for readout in pin.readouts:
        column = f"{readout.label} ({readout.unit})"
        assert float(second[column]) == readout.value
        assert float(second[f"change of {column}"]) == readout.value - readout.before
    assert second["swingweight as shown"] == str(pin.readouts[2])


def test_json_holds_every_pin_with_units(lab, tmp_path):
    path = lab.save("json", "tries.json")
    assert path == tmp_path / "tries.json"
    made = json.loads(path.read_text(encoding="utf-8"))
    assert [pin["pin"] for pin in made["pins"]] == ["A", "B"]
    assert made["pins"][0]["params"]["head_mass_g"] == -4.0
    assert [each["unit"] for each in made["pins"][1]["readouts"]] == ["cpm", "flex", "points", "kg cm²", "g", "in"]
    assert made["pins"][1]["readouts"][0]["value"] == lab.pins[1].readouts[0].value
    assert "not measured" in made["standing"]


def test_a_file_is_written_over_only_if_that_is_said(lab, tmp_path):
    (tmp_path / "pins.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(SaveError, match="is there already"):
        lab.save("csv")
    assert (tmp_path / "pins.csv").read_text(encoding="utf-8") == "mine"
    lab.save("csv", replace=True)
    assert (tmp_path / "pins.csv").read_text(encoding="utf-8").startswith("pin,")
    assert [path.name for path in tmp_path.iterdir()] == ["pins.csv"]


def test_a_name_that_leads_elsewhere_is_refused(lab, tmp_path):
    outside = ["", "  ", "..", "../pins", "a/b", "a\\b", "/etc/pins", "C:pins"]
    for name in (*outside, ".hidden", "-pins", "a\nb", "a\0", "a?"):
        with pytest.raises(SaveError, match="cannot be used"):
            lab.save("json", name)
    assert list(tmp_path.iterdir()) == []


def test_a_link_of_that_name_is_not_followed(lab, tmp_path):
    outside = tmp_path.parent / f"{tmp_path.name} outside.csv"
    (tmp_path / "pins.csv").symlink_to(outside)
    with pytest.raises(SaveError):
        lab.save("csv")
    lab.save("csv", replace=True)
    assert not outside.exists()
    assert not (tmp_path / "pins.csv").is_symlink()


def test_a_plain_name_stays_in_the_folder(tmp_path):
    for name in ("pins", "pins.csv", "PINS.CSV", "évening 2.csv", "client_07-a"):
        path = pin_path(name, "csv", tmp_path)
        assert path.parent == tmp_path
        assert path.suffix == ".csv"
        assert path.name.lower().count(".csv") == 1


def test_the_buttons_say_where_it_is_or_why_it_is_not(lab, tmp_path):
    def pressed(file, form="csv", replace=False):
        return lab.press({"name": "save", "form": form, "file": file, "replace": replace}, lab.values)

    saved = {"text": f"Saved 2 pins in {tmp_path / 'tries.csv'}", "refused": False}
    assert pressed("tries") == saved
    again = pressed("tries")
    assert "tries.csv is there already" in again["text"]
    assert again["refused"]
    assert pressed("tries", replace=True) == saved
    assert "cannot be used" in pressed("<b>/x", "json")["text"]
    lab.press({"name": "clear"}, lab.values)
    assert "nothing is pinned" in pressed("tries", "json")["text"]
    assert lab.told()["saves"] == ["csv", "json"]


def test_another_form_is_refused(lab):
    with pytest.raises(SaveError, match="csv or json"):
        lab.save("xlsx")
