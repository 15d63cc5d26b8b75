"""What a lab says to its pages: nothing overtakes, no hand's move is lost, and no more is sent than a page keeps."""

import gzip
import json
import time

import pytest

from trimkit.study import bore_depth_lab
from trimkit.study.frame import ahead
from trimkit.study.frame.ahead import Ahead, Sent, near, packed
from trimkit.study.frame.controls import Choice, Slider, Switch
from trimkit.study.frame.page import Page
from trimkit.study.frame.state import Frame

START = [1.0, "hosel height", True, 273.3]
CONTROLS = (
    Slider("a", "a", "", 0, 20, 1, 10),
    Choice("b", "b", ("x", "y", "z"), "y"),
    Slider("c", "c", "", 0, 1, 0.01, 0.5),
    Switch("d", "d", False),
)
HERE = {"a": 10.0, "b": "y", "c": 0.5, "d": False}


class Line:
    """A page at the other end: keeps what it is told."""

    def __init__(self, lab):
        self.answers, self.batches = [], []
        self.page = Page(lab, self.take)
        self.number = 0

    def take(self, content, buffers):
        if "ahead" in content:
            self.batches.append(json.loads(gzip.decompress(buffers[0])))
            assert len(self.batches[-1]) == content["ahead"]
        else:
            self.answers.append(content)

    def say(self, values, moved=(), number=None, page="one", **more):
        self.number = max(self.number + 1, number or 0)
        self.page.hear({"page": page, "n": number or self.number, "values": values, "moved": list(moved), **more})
        return self.answers[-1]

    def frames(self):
        return [(values, frame) for batch in self.batches for values, frame in batch]


@pytest.fixture(scope="module")
def _made():
    return bore_depth_lab()


@pytest.fixture
def lab(_made):
    _made.clear_pins()
    _made.reset()
    return _made


@pytest.fixture
def line(lab):
    line = Line(lab)
    yield line
    line.page._ahead.stop()


def test_a_question_is_answered_with_the_frame_of_these_values_and_moves_the_lab(lab, line):
    answer = line.say([1.25, *START[1:]], ["bbgl_in"], ask=True)
    assert answer["heard"] == {"one": 1}
    assert answer["values"] == [1.25, *START[1:]]
    assert answer["frame"] == lab.frame_of({"bbgl_in": 1.25}).told()
    assert lab.params.bbgl_in == 1.25


def test_a_message_that_was_overtaken_moves_nothing_but_its_pin_is_kept(lab, line):
    line.say([1.5, *START[1:]], ["bbgl_in"], number=7)
    answer = line.say([1.25, *START[1:]], ["bbgl_in"], number=6, button={"name": "pin"})
    assert answer["values"][0] == lab.params.bbgl_in == 1.5
    assert [pin.params.bbgl_in for pin in lab.pins] == [1.25]
    assert answer["heard"] == {"one": 7}


def test_what_code_set_meanwhile_stays_where_no_hand_moved_it(lab, line):
    lab.set(head_mass_g=260.0)
    answer = line.say([1.25, *START[1:]], ["bbgl_in"])  # the page has not heard of the head yet
    assert answer["values"] == [1.25, "hosel height", True, 260.0]
    assert answer["frame"] == lab.frame_of({"bbgl_in": 1.25, "head_mass_g": 260.0}).told()


def test_two_pages_count_for_themselves(lab, line):
    line.say([1.25, *START[1:]], ["bbgl_in"], number=9, page="one")
    answer = line.say([1.5, *START[1:]], ["bbgl_in"], number=1, page="two")
    assert answer["heard"] == {"one": 9, "two": 1}
    assert lab.params.bbgl_in == 1.5


def test_a_pin_is_of_the_values_it_was_pressed_at(lab, line):
    answer = line.say([1.25, *START[1:]], ["bbgl_in"], button={"name": "pin"})
    assert answer["pins"][0][:2] == ["A", "1.25"]
    assert lab.pins[0].readouts == lab.readouts
    assert line.say([1.25, *START[1:]], button={"name": "clear"})["pins"] == lab.pins == []


def test_a_frame_the_page_has_is_not_sent_twice_until_the_page_begins_anew(lab, line):
    line.say([1.25, *START[1:]], ["bbgl_in"], ask=True)
    assert "frame" not in line.say([1.25, *START[1:]])
    assert "frame" in line.say(START, hello=True, page="two")


def test_code_s_move_is_told_to_the_pages():
    lab = bore_depth_lab()
    told = []
    lab.view.page._send = lambda content, _buffers: told.append(content)
    lab.set(bbgl_in=1.5)
    lab.pin()
    assert [answer["values"][0] for answer in told] == [1.5, 1.5]
    assert told[1]["pins"][0][0] == "A"


def test_a_value_the_control_lacks_is_refused(lab, line):
    with pytest.raises(ValueError, match=r"0\.5 to 1\.75 in"):
        line.say([9.0, *START[1:]], ["bbgl_in"])
    assert lab.values == lab.defaults


# Ahead


def test_the_nearest_states_come_first_each_with_one_control_moved():
    states = list(near(CONTROLS, HERE))
    moved = [[name for name in HERE if state[name] != HERE[name]] for state in states]
    assert all(len(names) == 1 for names in moved)
    assert {names[0] for names in moved[:7]} == {"a", "b", "c", "d"}
    assert len(states) == 20 + 2 + 100 + 1
    steps = [abs(state["a"] - 10) for state in states if state["a"] != 10]
    assert steps[:2] == [1, 1]
    first = [state["a"] for state in states if state["a"] != 10][:10]
    assert {0, 20, 8, 12} <= set(first)  # Home, End, Page Up and Page Down


def test_the_control_that_was_moved_last_comes_first():
    states = list(near(CONTROLS, HERE, last="c"))
    assert [round(state["c"], 9) for state in states[:2]] == [0.49, 0.51]
    first = [state["c"] for state in states if state["c"] != 0.5]
    assert {0.48, 0.52, 0.0, 1.0, 0.4, 0.6} <= {round(each, 9) for each in first[:10]}
    assert {name for state in states[:7] for name in HERE if state[name] != HERE[name]} == {"a", "b", "c", "d"}


def test_while_a_slider_is_dragged_only_the_places_where_it_stops_are_made_by_distance():
    states = list(near(CONTROLS, HERE, "c"))
    assert {round(100 * state["c"]) for state in states} == {*range(0, 101, 2)} - {50}
    assert all({**state, "c": 0.5} == HERE for state in states)
    away = [round(abs(state["c"] - 0.5), 9) for state in states]
    assert away == sorted(away)


def test_frames_sent_ahead_are_those_that_the_lab_gives_alone(lab, line):
    line.say(START, hello=True)
    deadline = time.monotonic() + 60
    while len(line.frames()) < 30 and time.monotonic() < deadline:
        time.sleep(0.05)
    frames = line.frames()
    assert len(frames) >= 30
    names = list(lab.values)
    for values, frame in frames:
        alone = lab.frame_of(dict(zip(names, values, strict=True)))
        assert frame == json.loads(json.dumps(alone.told()))
    assert lab.values == lab.defaults
    assert len({json.dumps(values) for values, _ in frames}) == len(frames)


def test_the_next_move_ends_what_was_begun():
    made = []

    def frame_of(values):
        made.append(dict(values))
        time.sleep(0.002)
        return Frame("x", (), "")

    work = Ahead(CONTROLS, frame_of, Sent(), lambda _content, _buffers: None)
    work.go(HERE, "c")
    time.sleep(0.05)
    work.go({**HERE, "a": 3.0}, "c")
    time.sleep(0.3)
    work.stop()
    turn = next(at for at, values in enumerate(made) if values["a"] == 3.0)
    assert 0 < turn < 100
    assert all(values["a"] == 3.0 for values in made[turn:])


def test_no_more_is_made_for_one_state_than_is_allowed(monkeypatch):
    monkeypatch.setattr(ahead, "MOST_SENT", 1000)
    made = []

    def frame_of(values):
        made.append(values)
        return Frame("x" * 100, (), "")

    work = Ahead(CONTROLS, frame_of, Sent(), lambda _content, _buffers: None)
    work.go(HERE, "c")
    work._thread.join(20)
    assert len(made) == 11


def test_the_list_of_what_a_page_has_forgets_the_oldest(monkeypatch):
    monkeypatch.setattr(ahead, "STORED", 1000)
    sent = Sent()
    for a in range(20):
        sent.add({**HERE, "a": float(a)}, Frame("x" * 100, (), ""))
    assert [a for a in range(20) if {**HERE, "a": float(a)} in sent] == list(range(10, 20))
    sent.clear()
    assert {**HERE, "a": 19.0} not in sent


def test_a_batch_is_json_in_gzip():
    frame = Frame("<svg>−</svg>", (("cut", "1 in", "(+0.1 in)"),), "a sentence")
    assert json.loads(gzip.decompress(packed([(HERE, frame)]))) == [
        [[10.0, "y", 0.5, False], {**frame.told(), "readouts": [["cut", "1 in", "(+0.1 in)"]]}]
    ]
