"""Every lab in a real JupyterLab, shown twice, under a hand that does not wait: each picture is one state's, whole.

A recorder in the page notes whatever each view shows, and the values its controls have. At the end every picture, with
its readouts and sentence, must be what a lab alone, in the test's own process, makes of values that the controls had.
"""

import random

import nbformat
import pytest
from test_lab_frame import KERNEL, held, in_kernel

from trimkit import study
from trimkit.study.frame.controls import Choice, Slider

pytestmark = pytest.mark.nightly
LABS = {name: getattr(study, name) for name in study.__all__ if name.endswith("_lab")}
STATES = 1000
KEYS = ("ArrowRight", "ArrowLeft", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End")
RECORD = """roots => {
  const lab = window.recorded = {shown: new Set(), states: new Set(), moves: 0, last: null};
  const values = root => [...root.querySelectorAll('.trimkit-slider, .trimkit-choice, .trimkit-switch')].map(each => {
    const box = each.querySelector('input[type=number]');
    if (box) return [each.querySelector('input[type=range]').valueAsNumber, box.dataset.set];
    const one = each.querySelector('select, input:checked');
    return each.matches('.trimkit-switch') ? Boolean(one) : one.value;
  });
  window.seenIn = root => ({
    picture: root.querySelector('.trimkit-live').innerHTML,
    sentence: root.querySelector('.trimkit-sentence').textContent,
    readouts: [...root.querySelectorAll('.trimkit-readouts > div')].map(e => [...e.children].map(c => c.textContent)),
  });
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
}"""
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
    """One thing that a hand does to a view, or code to the lab."""
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
        place = {control.name: some_value(control, hand) for control in made.declared}
        in_kernel(page, f"try:\n    lab.set(**{place!r})\nexcept Exception: pass  # a place that this lab refuses")
    else:
        button = view.root.get_by_role("button", name=hand.choice(("Reset", "Reset", "Pin this one")))
        if turn % 2:
            title = view.root.locator(".trimkit-slider label").nth(at).inner_text()
            held(view, title, hand.choice((0.1, -0.1)), lambda: button.evaluate("e => e.click()"))
        else:
            handle.press("ArrowRight")
            button.evaluate("e => e.click()")


def values_of(made, state):
    """The values that controls of a page show, by name; a typed one to the digits that the page shows."""
    given = {}
    for control, shown in zip(made.declared, state, strict=True):
        if isinstance(control, Slider):
            place, text = shown
            at = control.positions[place]
            shown = at if f"{at:.{control.decimals}f}" == text.replace("-0", "-0") else float(text)
        given[control.name] = shown
    return given


def test_a_thousand_states_of_it_in_two_views_are_each_the_frame_that_a_lab_alone_makes(name, page):
    views, made, hand = page.labs(), LABS[name](), random.Random(name)
    page.page.evaluate(RECORD, [view.root.element_handle() for view in views])
    turn = 0
    while page.page.evaluate("recorded.moves") < STATES:
        view = views[hand.randrange(2)]
        moved_once(page, view, made, hand, turn)
        turn += 1
        if turn % 20 == 0:
            page.page.wait_for_timeout(300)
            page.wait_until_idle()
            values = made_of_kernel(page, made)
            at_rest(page, views, made, values)
    states = [values_of(made, state) for state in page.page.evaluate("[...recorded.states].map(s => JSON.parse(s))")]
    frames = [made.frame_of(values) for values in states]
    pictures = page.page.evaluate(WRITTEN, [frame.picture for frame in frames])
    allowed = {
        (picture, frame.sentence, tuple(map(tuple, frame.readouts)))
        for picture, frame in zip(pictures, frames, strict=True)
    }
    shown = page.page.evaluate("[...recorded.shown].map(s => JSON.parse(s))")
    assert len(shown) > 100
    for each in shown:
        assert (each["picture"], each["sentence"], tuple(map(tuple, each["readouts"]))) in allowed, each["sentence"]
    readouts = {tuple(row[1] for row in frame.readouts) for frame in frames}
    print(f"{name}: {page.page.evaluate('recorded.moves')} states, {len(frames)} different, {len(shown)} pictures")
    assert readouts


def made_of_kernel(page, made):
    """The values that the kernel has, by name."""
    return dict(zip(made.defaults, eval(in_kernel(page, "print(list(lab.values.values()))")), strict=True))


def at_rest(page, views, made, values):
    """Both views show the frame of the kernel's values."""
    frame = made.frame_of(values)
    (picture,) = page.page.evaluate(WRITTEN, [frame.picture])
    for view in views:
        seen = page.page.evaluate("root => seenIn(root)", view.root.element_handle())
        assert seen["sentence"] == frame.sentence
        assert seen["picture"] == picture
        assert [tuple(row) for row in seen["readouts"]] == [tuple(row) for row in frame.readouts]
