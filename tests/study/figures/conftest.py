"""What every picture beside a lesson must keep to."""

import itertools

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text


@pytest.fixture
def words_are_apart():
    """A function that checks a drawing: no word covers another or leaves the picture."""

    def checked(figure):
        FigureCanvasAgg(figure).draw()
        width, height = figure.bbox.size
        texts = [text for axes in figure.axes for text in (*axes.texts, axes.title) if text.get_text()]
        boxes = [(text.get_text(), Text.get_window_extent(text)) for text in texts]
        assert len(boxes) > 3
        for words, box in boxes:
            assert min(box.x0, box.y0) >= 0, words
            assert box.x1 <= width, words
            assert box.y1 <= height, words
        for (one, first), (other, second) in itertools.combinations(boxes, 2):
            assert not first.overlaps(second), (one, other)

    return checked
