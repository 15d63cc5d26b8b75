"""What the record keeps of one club: what it would keep before it is made, then what its file holds."""

import gc

import pytest

from trimkit.study import kept_form, order_form, plan_form, practice_bench
from trimkit.study.form.keptform import NO_RECORD


def rows(form):
    table, lines = form.shown["kept"]
    return {step: rest for step, *rest in table.rows}, lines.lines


@pytest.fixture(scope="module")
def bench():
    return practice_bench()


@pytest.fixture(scope="module")
def kept(bench):
    """The form of the class's sand wedge before and after a record is made in which it is left softer on purpose."""
    form = kept_form(bench, "sand wedge")
    form.view  # noqa: B018, as a page shows it
    form.press("")
    before = rows(form)
    order = order_form(bench)
    order.put({"[[club]] 10: bore": "leave", "[[club]] 10: why": "part shots"})
    order.save("client 07")
    plan_form(bench).press("record")
    return before, rows(form), form


def test_before_the_record_each_step_of_the_plan_with_its_reason_and_its_weakest_standing(kept):
    """By hand: R 5 1/4 in, BBGL 1/2 in over; 35 1/4 - 1 1/2 - 0.1 = 33.65; 42 - 5 3/4 - 33.65 = 2.6."""
    (found, said), *_ = kept
    assert said == (NO_RECORD,)
    comes_to = {step: amount for step, (amount, _, _) in found.items()}
    assert comes_to.pop("plays") == "326.3 ± 3.7 cpm"  # what lesson 12 says of the wedge as ordered
    assert comes_to == {
        "which club it is": "–",
        "trim schedule": "5 1/4 in",
        "bore": "1/2 in",
        "tip trim": "5 3/4 in",
        "playing length": "35 1/4 in",
        "cut length": "≈ 33 5/8 in",
        "butt trim": "≈ 2 5/8 in",
    }
    assert found["bore"][2] == "derived here"
    assert found["trim schedule"][2] == "invented for the demo"
    assert all(reason.endswith(".") for _, reason, _ in found.values())


def test_the_record_that_is_there_counts_with_its_decision_and_its_revisions(kept):
    _, (found, said), _ = kept
    amount, reason, rests_on = found["decision"]
    assert amount == "−3.6 cpm"
    assert reason.startswith("Left softer on purpose: 0.5 in")
    assert reason.endswith("Why: part shots.")
    assert rests_on == "chosen in the order"
    assert found["bore"][0] == "0 in"
    assert found["plays"][0].startswith("322.8 ± ")
    assert said[0] == "From client 07.record.json."
    assert said[-1].endswith("first plan")


def test_what_lesson_12_says_of_the_check_is_so():
    """Left softer without a why the wedge is stopped, 3.0 cpm below the set's line; with one it may be cut."""
    bench = practice_bench()
    order, plan = order_form(bench), plan_form(bench)
    order.put({"[[club]] 10: bore": "leave"})
    order.save("client 07")
    plan.press("")
    table, below = plan.shown["card"]
    assert table.rows[-1][-1].startswith("stop")
    assert "3.0 cpm softer than the set's line calls for" in below.lines[0]
    order.put({"[[club]] 10: why": "part shots"})
    order.save("client 07", replace=True)
    plan.press("")
    assert plan.shown["card"][0].rows[-1][-1].startswith("off the line as decided; cut it")


def test_the_two_standard_deviations_are_those_of_the_record(kept, bench):
    from trimkit.papers.record.store import read_file

    predicted = read_file(bench.path("client 07.record.json")).latest.clubs[-1].predicted
    assert kept[1][0]["plays"][0] == f"322.8 ± {2 * predicted.frequency_sd_cpm:.1f} cpm"


def test_a_club_that_is_not_there_is_said(bench):
    form = kept_form(bench, "putter")
    form.press("")
    assert "there is no putter" in form.said
    assert not form.fine


def test_a_practice_bench_takes_its_folder_with_it():
    bench = practice_bench()
    folder = bench.folder
    assert list(folder.iterdir()) == []
    order_form(bench).save("trial")
    assert [each.name for each in folder.iterdir()] == ["trial.toml"]
    del bench
    gc.collect()
    assert not folder.exists()
