"""Text of a notebook on a page: it shows all it says, and can do nothing."""

import base64

import pytest

from trimkit.study.page.text import clean, field, output_html, verbatim, with_room, words_html


@pytest.mark.parametrize(
    "html",
    [
        "<script>alert(1)</script>",
        "<ScRipt src=x>alert(1)</script >",
        "<img src=x onerror=alert(1)>",
        '<img src="https://example.org/x.png">',
        '<a href="javascript:alert(1)">x</a>',
        '<a href="https://example.org">x</a>',
        '<a href="//example.org">x</a>',
        "<svg onload=alert(1)><use href='x'/></svg>",
        "<iframe src=x></iframe><object data=x></object><embed src=x>",
        "<form action=x><input autofocus onfocus=alert(1)></form>",
        '<div style="background:url(x)" onclick="alert(1)">x</div>',
        "<style>@import url(x)</style>",
        '<base href="x"><link rel=stylesheet href=x><meta http-equiv=refresh content=0>',
        "<math><mtext></p><style><img src=x onerror=alert(1)>",
    ],
)
def test_html_that_does_something_does_nothing_more(html):
    made = clean(html).lower()
    for sign in (
        "<script",
        "<style",
        "<svg",
        "<iframe",
        "<form",
        "<input",
        "<base",
        "<link",
        "<meta",
        "<object",
        "<math",
    ):
        assert sign not in made
    inside = [tag for tag in made.split("<")[1:] if ">" in tag]
    for tag in inside:
        head = tag.partition(">")[0]
        assert "=" not in head.replace('href="#', ""), head


def test_what_shows_stays():
    html = "<p><strong>5</strong> <em>in</em> <code>a &lt; b</code></p>"
    html += '<table><tbody><tr><td colspan="2">1</td></tr></tbody></table>'
    assert clean(html) == html
    picture = '<img src="data:image/png;base64,AAAA" alt="x">'
    assert clean(picture) == picture
    assert clean("a\x1b[2J\u202eb") == "a&lt;U+001B&gt;[2J&lt;U+202E&gt;b"


def test_a_link_leads_to_a_page_beside_it_and_else_is_text():
    source = "[one](02_bore_depth.ipynb), [two](instructor_plan.ipynb), https://example.org"
    html = words_html(source, ("02_bore_depth",))
    assert '<a href="02_bore_depth.html">one</a>' in html
    assert html.count("href") == 1
    assert ">two</a>" in html
    assert "https://example.org" in html


def test_formulas_and_html_in_text_stay_as_typed():
    html = words_html("$a_1 < b_2$ and <b onclick=x>this</b>\n\n$$x$$", ())
    assert "$a_1 &lt; b_2$" in html
    assert "&lt;b onclick=x&gt;this" in html
    assert "$$x$$" in html


def test_a_line_that_ends_with_an_ellipsis_has_room_to_type_whose_label_is_the_question():
    html = words_html("Write:\n\n- **Off**: softer? …\n- nothing asked\n\nAnd this? …\n\nWait … there.", ())
    made = with_room(html, "cell-04")
    assert made.count("<textarea") == 2
    assert '<li><label for="cell-04-1"><strong>Off</strong>: softer?</label><textarea id="cell-04-1"' in made
    assert '<p><label for="cell-04-2">And this?</label>' in made
    assert "Wait … there." in made


def test_what_was_typed_belongs_to_the_words_of_its_question():
    def key(question):
        return field("a", question, question).partition('data-kept="')[2]

    assert key("By how many cpm?") == key("By how many cpm?") != key("By how many inches?")
    assert (
        with_room("<p>Q? …</p>", "one").partition("data-kept")[2]
        == with_room("<p>Q? …</p>", "two").partition("data-kept")[2]
    )


def test_an_output_is_shown_in_the_richest_form_that_can_do_nothing():
    png = base64.b64encode(b"\x89PNG").decode()
    shown = {
        "output_type": "display_data",
        "data": {"image/png": f"{png[:4]}\n{png[4:]}", "text/plain": 'the "<line>"'},
    }
    assert f'src="data:image/png;base64,{png}" alt="the &quot;&lt;line&gt;&quot;"' in output_html(shown)
    table = "<style scoped>.x { color: red }</style><table border='1'><tr><th></th><th>a</th></tr></table>"
    made = output_html({"output_type": "execute_result", "data": {"text/html": table, "text/plain": "a"}})
    assert "color" not in made
    assert "<table><tr><td></td><th>a</th></tr></table>" in made.replace("<tbody>", "").replace("</tbody>", "")
    script = {"output_type": "display_data", "data": {"application/javascript": "alert(1)", "text/plain": "said"}}
    assert output_html(script) == verbatim("said")
    svg = {"output_type": "display_data", "data": {"image/svg+xml": "<svg onload='alert(1)'/>", "text/plain": "p"}}
    assert "<svg" not in output_html(svg)
    error = {"output_type": "error", "traceback": ["\x1b[0;31mValueError\x1b[0m: <b>"]}
    assert "ValueError: &lt;b&gt;" in output_html(error)


def test_a_picture_that_is_none_is_refused():
    with pytest.raises(ValueError, match=r".+"):
        output_html({"output_type": "display_data", "data": {"image/png": '"><script>alert(1)</script>'}})
