"""What the record keeps of one club: what it would keep before it is made, then what its file holds."""

import gc

import pytest

from trimkit.check.doublecheck import double_check
from trimkit.club.set import build_set
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
    assert {rests_on for step, (_, _, rests_on) in found.items() if step != "plays"} == {"invented for the demo"}
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
    """Left softer without a why the wedge is stopped, 3.0 cpm below the set's line; with one it may be cut.

    As ordered it is 0.5 cpm above the line, and the line gives way by about 0.1: 0.5 - 3.6 + 0.1 = -3.0.
    """
    bench = practice_bench()
    order, plan = order_form(bench), plan_form(bench)
    before = double_check(build_set(order.order())).clubs[-1]
    assert (round(before.deviation_cpm, 1), before.card.assembly.tip_weight_g) == (0.5, 0.0)
    plan.press("")
    assert {row[0]: row[6] for row in plan.shown["card"][0].rows}["6 7-iron"] == "312.5"
    order.put({"[[club]] 10: bore": "leave"})
    after = double_check(build_set(order.order())).clubs[-1]
    assert round(before.frequency_cpm - after.frequency_cpm, 1) == 3.6
    assert round(before.line_cpm - after.line_cpm, 1) == 0.1
    assert round(after.deviation_cpm, 1) == -3.0
    order.save("client 07")
    plan.press("")
    table, below = plan.shown["card"]
    assert table.rows[-1][-1].startswith("stop")
    assert "3.0 cpm softer than the set's line calls for" in below.lines[0]
    order.put({"[[club]] 10: why": "part shots"})
    order.save("client 07", replace=True)
    plan.press("")
    assert plan.shown["card"][0].rows[-1][-1].startswith("off the line as decided; cut it")


def test_lesson_12_s_exercise_takes_the_decision_back_in_a_second_revision():
    bench = practice_bench()
    order, plan, kept_now = order_form(bench), plan_form(bench), kept_form(bench, "sand wedge")
    order.put({"[[club]] 10: bore": "leave", "[[club]] 10: why": "partial shots"})
    order.save("client 07")
    plan.press("record")
    order.put({"[[club]] 10: bore": "correct", "[[club]] 10: why": ""})
    order.save("client 07", replace=True)
    plan.put({"reason": "full shots"})
    plan.press("record")
    kept_now.press("")
    found, said = rows(kept_now)
    assert (found["tip trim"][0], found["bore"][0], "decision" in found) == ("5 3/4 in", "1/2 in", False)
    assert found["plays"][0].startswith("326.3 ± ")
    assert [line.split()[0] for line in said[-2:]] == ["1", "2"]
    assert said[-2].endswith("first plan")
    assert said[-1].endswith("full shots")


def test_a_page_without_a_kernel_shows_each_stage_with_all_its_words():
    form = kept_form(practice_bench(), "sand wedge")
    text = form._repr_mimebundle_()["text/plain"]
    club, _, heads, *lines, last = text.splitlines()
    assert (club, last) == ("sand wedge", NO_RECORD)
    assert heads.split() == ["stage", "comes", "to", "rests", "on", "reason"]
    assert max(map(len, lines)) <= 104
    form.press("")
    for stage, (amount, reason, rests_on) in rows(form)[0].items():
        first = next(at for at, line in enumerate(lines) if line.startswith(f"{stage}  "))
        assert amount in lines[first]
        assert rests_on in lines[first]
        said = " ".join(line[heads.index("reason") :] for line in lines[first:])
        assert said.startswith(reason)


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
