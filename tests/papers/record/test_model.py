"""What a record may hold, at the edges of its bounds, and what it says of itself."""

import itertools
import json

import pytest
from pydantic import ValidationError

from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.model import MOST_REVISIONS, Measured, Predicted, schema_text
from trimkit.parts.errors import DataFileError

PREDICTED = {
    "frequency_cpm": (0, 2000),
    "frequency_sd_cpm": (0, 500),
    "swingweight_oz_in": (0, 500),
    "total_mass_g": (0, 1000),
    "balance_point_in": (-60, 60),
    "moi_kg_cm2": (0, 10000),
}
# A club that can be played, and then some: no rule, chosen for the record.
MEASURED = {
    "playing_length_in": (18, 60),
    "frequency_cpm": (50, 800),
    "swingweight_oz_in": (100, 400),
    "total_mass_g": (100, 800),
}
MAY_BE_ZERO = ("frequency_sd_cpm",)


@pytest.mark.parametrize(("name", "bounds"), PREDICTED.items())
def test_predicted_values_have_bounds(record, name, bounds):
    low, high = bounds
    values = record.latest.clubs[0].predicted.model_dump()
    inside = [high, low] if name in MAY_BE_ZERO or low < 0 else [high, low + 1e-9]
    outside = [high + 1e-6, low - 1e-6, *([] if low in inside else [low]), float("nan"), float("inf")]
    for value in inside:
        assert getattr(Predicted.model_validate(values | {name: value}), name) == value
    for value in outside:
        with pytest.raises(ValidationError):
            Predicted.model_validate(values | {name: value})


@pytest.mark.parametrize(("name", "bounds"), MEASURED.items())
def test_measured_values_have_bounds(name, bounds):
    nothing = dict.fromkeys(MEASURED) | {"remark": ""}
    for value in (*bounds, None):
        assert getattr(Measured.model_validate(nothing | {name: value}), name) == value
    for value in (bounds[0] - 1e-6, bounds[1] + 1e-6):
        with pytest.raises(ValidationError):
            Measured.model_validate(nothing | {name: value})


def test_a_text_has_2000_characters_at_most():
    nothing = dict.fromkeys(MEASURED)
    assert Measured.model_validate(nothing | {"remark": "n" * 2000})
    with pytest.raises(ValidationError):
        Measured.model_validate(nothing | {"remark": "n" * 2001})


@pytest.fixture
def document(record):
    return json.loads(record_text(record))


def refusal(document):
    with pytest.raises(DataFileError) as caught:
        read_record(json.dumps(document))
    return str(caught.value)


def test_each_ordered_club_is_recorded_once(document):
    del document["revisions"][0]["clubs"][1]
    assert "2 clubs are ordered and 1 recorded" in refusal(document)


def test_revisions_are_numbered_from_one_and_dated_in_order(document):
    (first,) = document["revisions"]
    second = first | {"number": 2}
    assert len(read_record(json.dumps(document | {"revisions": [first, second]})).revisions) == 2
    assert "numbered [1, 1], not 1, 2, 3" in refusal(document | {"revisions": [first, first]})
    assert "numbered [2, 1]" in refusal(document | {"revisions": [second, first]})
    earlier = second | {"saved_at": "2026-01-02T03:04:04+00:00"}
    assert "dated before an earlier one" in refusal(document | {"revisions": [first, earlier]})
    assert refusal(document | {"revisions": []})


def test_a_revision_is_found_by_its_number(record):
    second = record.latest.model_copy(update={"number": 2, "reason": "x"})
    grown = record.model_copy(update={"revisions": (*record.revisions, second)})
    assert (grown.revision(1), grown.revision(2), grown.latest) == (record.latest, second, second)
    for number in (0, 3, -1):
        with pytest.raises(IndexError, match=f"no revision {number}; there are 2"):
            grown.revision(number)


def test_the_schema_names_its_limits_as_the_standard_does():
    """JSON Schema draft 2020-12 knows minimum and exclusiveMaximum, and no ge or lt: those would bind nobody."""
    schema = json.loads(schema_text())

    def names(part):
        if isinstance(part, dict):
            return set(part) | set().union(*map(names, part.values()))
        return set().union(*map(names, part)) if isinstance(part, list) else set()

    assert {"minimum", "maximum", "exclusiveMinimum"} <= names(schema)
    assert not names(schema) & {"ge", "le", "gt", "lt"}
    assert schema["$schema"].endswith("2020-12/schema")
    assert schema["properties"]["revisions"]["maxItems"] == MOST_REVISIONS == 500


def test_cuts_add_up_whichever_is_wrong(document):
    cuts = document["revisions"][0]["clubs"][0]["cuts"]
    names = ("raw_length_in", "extension_in", "tip_trim_in", "cut_length_in", "butt_trim_in")
    for name, error in itertools.product(names, (-2e-6, 2e-6)):
        kept, cuts[name] = cuts[name], cuts[name] + error
        assert "do not add up" in refusal(document)
        cuts[name] = kept + error / 4
        assert read_record(json.dumps(document))
        cuts[name] = kept


def test_nothing_is_converted_and_nothing_changed_afterwards():
    nothing = dict.fromkeys(MEASURED) | {"remark": ""}
    for wrong in ({"frequency_cpm": "300"}, {"remark": 5}, {"colour": "red"}):
        with pytest.raises(ValidationError):
            Measured.model_validate(nothing | wrong)
    measured = Measured.model_validate(nothing)
    with pytest.raises(ValidationError):
        measured.remark = "changed"
