"""The pieces of a plan: labels, sources, and numbers in words."""

import pytest

from trimkit.parts.sources import Source, Standing
from trimkit.trim.plan import plan_club
from trimkit.trim.steps import StepKind, joined


def test_every_step_has_a_label_a_sentence_and_a_source(wanted, wanted_taper):
    for step in (*plan_club(wanted).steps, *plan_club(wanted_taper).steps):
        assert step.label == step.kind.value
        assert step.reason[0].isupper() or step.reason[0].isdigit()
        assert step.reason.endswith(".")
        assert step.source.text


def test_labels_are_plain_words():
    assert all(kind.value.replace(" ", "").isalpha() and kind.value.islower() for kind in StepKind)


@pytest.mark.parametrize(
    ("standings", "weakest"),
    [
        ((Standing.PUBLISHED, Standing.MEASURED), Standing.MEASURED),
        ((Standing.COMMON_PRACTICE, Standing.DERIVED), Standing.COMMON_PRACTICE),
        ((Standing.INVENTED, Standing.FROM_MEMORY), Standing.INVENTED),
    ],
)
def test_a_number_made_of_several_is_as_good_as_the_worst(standings, weakest):
    assert joined(*(Source(standing.name, standing) for standing in standings)).standing is weakest


def test_every_standing_has_its_rank():
    assert {joined(Source("x", standing)).standing for standing in Standing} == set(Standing)


def test_the_same_source_is_named_once():
    source = Source("row 2", Standing.MEASURED)
    assert joined(source, source) == source
