"""The cautions: every danger of the bench is named; makers, workplace and the person in charge come first."""

import pytest

from trimkit.papers.cautions import CAUTION_SOURCE, CAUTIONS, IN_SHORT, WHO_DECIDES, Work, cautions_for
from trimkit.parts.components import Material
from trimkit.parts.sources import Standing


def test_every_work_has_one_caution_and_they_say_what_they_rest_on():
    assert sorted(CAUTIONS) == sorted(Work)
    assert CAUTION_SOURCE.standing is Standing.COMMON_PRACTICE


@pytest.mark.parametrize(
    ("work", "words"),
    [
        (Work.CUTTING, ("eye protection", "side shields", "guards")),
        (Work.STEEL_DUST, ("sharp", "Sparks")),
        (Work.GRAPHITE_DUST, ("wet", "extraction", "respirator")),
        (Work.EPOXY, ("nitrile gloves", "air the room", "cure")),
        (Work.HEAT, ("heat-resistant gloves", "short passes", "Never heat graphite without control", "fumes")),
        (Work.TOO_FAR, ("can break", "maker")),
    ],
)
def test_a_caution_names_the_danger_and_what_to_do(work, words):
    for word in words:
        assert word in CAUTIONS[work]


def test_they_defer_to_makers_workplace_and_the_person_in_charge():
    for words in ("makers' own instructions", "rules of your workplace", "person in charge"):
        assert words in WHO_DECIDES


def test_a_material_leaves_out_only_the_other_one_s_dust():
    every = set(cautions_for())
    assert every - set(cautions_for(Material.STEEL)) == {Work.GRAPHITE_DUST}
    assert every - set(cautions_for(Material.GRAPHITE)) == {Work.STEEL_DUST}
    assert set(cautions_for(Material.STEEL, Material.GRAPHITE)) == every


def test_every_caution_in_full_has_its_few_words_for_the_card():
    assert set(IN_SHORT) == set(CAUTIONS)
    for work, words in IN_SHORT.items():
        assert len(words) < len(CAUTIONS[work]) / 1.5
