"""Every lab in a real JupyterLab, shown twice, under a hand that does not wait: each picture is one state's, whole.

A recorder in the page notes whatever each view shows, and the values its controls have. At the end every picture, with
its readouts and sentence, must be what a lab alone, in the test's own process, makes of values that the controls had.
"""

import ast
import random
import re
import time

import nbformat
import pytest
from playwright.sync_api import expect

from trimkit import study
from trimkit.study.frame.controls import Choice, Slider

pytestmark = pytest.mark.nightly
LABS = {name: getattr(study, name) for name in study.__all__ if name.endswith("_lab")}
KERNEL = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
STATES, MOST_TURNS, PATIENCE_S = 1000, 150, 10
KEYS = ("ArrowRight", "ArrowLeft", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End")
READ = """root => ({
  picture: root.querySelector('.trimkit-live').innerHTML,
  sentence: root.querySelector('.trimkit-sentence').textContent,
  readouts: [...root.querySelectorAll('.trimkit-readouts > div')].map(e => [...e.children].map(c => c.textContent)),
})"""
RECORD = """roots => {
  const lab = window.recorded = {shown: new Set(), states: new Set(), moves: 0, last: null};
  const values = root => [...root.querySelectorAll('.trimkit-slider, .trimkit-choice, .trimkit-switch')].map(each => {
    const box = each.querySelector('input[type=number]');
    if (box) return [each.querySelector('input[type=range]').valueAsNumber, box.dataset.set];
    const one = each.querySelector('select, input:checked');
    return each.matches('.trimkit-switch') ? Boolean(one) : one.value;
  });
  window.seenIn = %s;
  for (const root of roots) {
    const note = () => {
      const state = JSON.stringify(values(root));
      if (state !== lab.last) { lab.last = state; lab.moves += 1; lab.states.add(state); }
      lab.shown.add(JSON.stringify(seenIn(root)));
    };
    new MutationObserver(note).observe(root.querySelector('.trimkit-bench'),
      {childList: true, subtree: true, characterData: true, attributes: true});
    root.addEventListener('input', () => queueMicrotask(note));
    note();
  }
}""".replace("%s", READ)
CODE = """
for place in {places!r}:
    try:
        lab.set(**place)
    except Exception: pass  # a place that this lab refuses
"""
WRITTEN = """pictures => pictures.map(text => {
  const own = document.createElement('div'); own.innerHTML = text; return own.innerHTML; })"""


@pytest.fixture(params=LABS)
def name(request):
    return request.param


@pytest.fixture
def page(name, open_notebook, tmp_path):
    """A notebook of one lab, in two views."""
    cells = [f"from trimkit import study\nlab = study.{name}()\nlab", "lab"]
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(code) for code in cells], metadata=KERNEL)
    path = tmp_path / f"{name}.ipynb"
    nbformat.write(book, path)
    return open_notebook(path)


def some_value(control, hand):
    if isinstance(control, Slider):
        return hand.choice(control.positions)
    return hand.choice(control.options if isinstance(control, Choice) else (True, False))


def moved_once(page, view, made, hand, turn):
    """One thing that a hand does to a view, or code to the lab; returns the states that code brought it to."""
    what = hand.random()
    sliders = [control for control in made.declared if isinstance(control, Slider)]
    at = hand.randrange(len(sliders))
    handle = view.root.locator("input[type=range]").nth(at)
    if what < 0.55:
        handle.focus()
        for _ in range(hand.randint(2, 15)):
            page.page.keyboard.press(hand.choice(KEYS[:2] if hand.random() < 0.8 else KEYS))
    elif what < 0.7:
        number = hand.uniform(sliders[at].low, sliders[at].high)
        box = view.root.locator("input[type=number]").nth(at)
        box.fill(f"{number:.{sliders[at].decimals}f}")
        box.press("Enter")
    elif what < 0.8:
        others = view.root.locator(".trimkit-choice input, .trimkit-switch input, .trimkit-choice select")
        if count := others.count():
            other = others.nth(hand.randrange(count))
            if other.evaluate("e => e.tagName") == "SELECT":
                other.select_option(index=hand.randrange(other.locator("option").count()))
            else:
                other.click()
    elif what < 0.87:
        places = [{control.name: some_value(control, hand) for control in made.declared} for _ in range(25)]
        page.in_kernel(CODE.format(places=places))
        return places
    else:
        button = view.root.get_by_role("button", name=hand.choice(("Reset", "Reset", "Pin this one")))
        if turn % 2:
            view.held(handle, hand.choice((0.1, -0.1)), lambda: button.evaluate("e => e.click()"))
        else:
            handle.press("ArrowRight")
            button.evaluate("e => e.click()")
    return []


def values_of(made, state):
    """The values that controls of a page show, by name; a typed one to the digits that the page shows."""
    given = {}
    for control, shown in zip(made.declared, state, strict=True):
        if isinstance(control, Slider):
            place, text = shown
            at, half = control.positions[place], 0.5 / 10**control.decimals
            shown = at if abs(at - float(text)) <= half * (1 + 1e-9) else float(text)
        given[control.name] = shown
    return given


def both_show_what_the_kernel_has(page, views, made):
    """Wait until both views show the frame of the kernel's values, for at most PATIENCE_S: a page tells them late."""
    end = time.monotonic() + PATIENCE_S
    while True:
        page.wait_until_idle()
        values = ast.literal_eval(page.in_kernel("print(list(lab.values.values()))"))
        frame = made.frame_of(dict(zip(made.defaults, values, strict=True)))
        (picture,) = page.page.evaluate(WRITTEN, [frame.picture])
        wanted = (picture, frame.sentence, [list(row) for row in frame.readouts])
        seen = [page.page.evaluate(READ, view.root.element_handle()) for view in views]
        if all((each["picture"], each["sentence"], each["readouts"]) == wanted for each in seen):
            return
        assert time.monotonic() < end, (frame.sentence, [each["sentence"] for each in seen])
        page.page.wait_for_timeout(100)


def test_a_thousand_states_of_it_in_two_views_are_each_the_frame_that_a_lab_alone_makes(name, page):
    views, made, hand = page.labs(), LABS[name](), random.Random(name)
    page.page.evaluate(RECORD, [view.root.element_handle() for view in views])
    turn = 0
    moves = states = 0
    reached = []  # by code: a page may show them on the way, while its own controls are ahead
    while moves < STATES or (states < STATES and turn < MOST_TURNS):  # a lab of few states is in them again and again
        reached += moved_once(page, views[hand.randrange(2)], made, hand, turn)
        turn += 1
        moves, states = page.page.evaluate("[recorded.moves, recorded.states.size]")
        if turn % 20 == 0:
            both_show_what_the_kernel_has(page, views, made)
    both_show_what_the_kernel_has(page, views, made)
    reached += [values_of(made, state) for state in page.page.evaluate("[...recorded.states].map(s => JSON.parse(s))")]
    frames = [made.frame_of(values) for values in reached]
    pictures = page.page.evaluate(WRITTEN, [frame.picture for frame in frames])
    allowed = {
        (picture, frame.sentence, tuple(map(tuple, frame.readouts)))
        for picture, frame in zip(pictures, frames, strict=True)
    }
    shown = page.page.evaluate("[...recorded.shown].map(s => JSON.parse(s))")
    assert len(shown) >= min(100, states // 2)
    for each in shown:
        assert (each["picture"], each["sentence"], tuple(map(tuple, each["readouts"]))) in allowed, each["sentence"]
    print(f"{name}: {moves} moves, {len(frames)} states, {len(shown)} pictures")


def test_a_pin_is_of_what_is_seen(name, page):
    view = page.labs()[0]
    view.handles()[0].press("ArrowRight")
    page.wait_until_idle()
    readouts = page.page.evaluate(READ, view.root.element_handle())["readouts"]
    view.click("Pin this one")
    table = view.root.locator(".trimkit-pins")
    table.wait_for()
    (pinned,) = (row.locator("td").all_inner_texts() for row in table.locator("tbody tr").all())
    heads = table.locator("th").all_inner_texts()
    assert len(heads) == len(pinned) == len(set(heads))
    for label, number, _change in readouts:
        (cell,) = (cell for head, cell in zip(heads, pinned, strict=True) if re.sub(r" \([^)]*\)$", "", head) == label)
        seen = re.search(r"[−\d.]+", number)
        if cell not in number:
            assert float(cell.replace("−", "-")) == pytest.approx(float(seen[0].replace("−", "-")), abs=0.07)


def test_its_kernel_restarts_and_its_saved_notebook_is_opened_again(name, page):
    view, made = page.labs()[0], LABS[name]()
    start = view.sentence()
    page.page.wait_for_timeout(1000)  # frames of the surroundings come
    page.page.evaluate("jupyterapp.commands.execute('docmanager:save')")
    page.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
    status = view.root.locator(".trimkit-status")
    expect(status).to_contain_text("The kernel is gone", timeout=30_000)
    view.handles()[0].press("ArrowRight")
    frame = made.frame_of({})
    control = next(each for each in made.declared if isinstance(each, Slider))
    place = control.positions.index(control.default)
    if place + 1 < len(control.positions):
        frame = made.frame_of({control.name: control.positions[place + 1]})
    expect(view.root.locator(".trimkit-sentence")).to_have_text(frame.sentence)
    assert view.root.get_by_role("button", name="Pin this one").is_disabled()
    page.open()
    assert page.page.locator(".trimkit-still").first.inner_text().split() == start.split()  # breaks may be other ones
    assert page.page.locator(".jp-OutputArea-output img").first.bounding_box()["width"] > 300
