"""Text, tables and pictures of a notebook as HTML that can do nothing: no script, no style, no address outside."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Collection, Mapping
from html import escape, unescape
from typing import Any

from trimkit.parts.plaintext import shown

TAGS = frozenset(
    {
        *("a", "b", "blockquote", "br", "caption", "code", "dd", "del", "div", "dl", "dt", "em"),
        *("h1", "h2", "h3", "h4", "h5", "h6", "hr", "i", "img", "li", "ol", "p"),
        *("pre", "s", "span", "strong", "sub", "sup", "table", "tbody", "td", "tfoot", "th", "thead"),
        *("tr", "ul"),
    }
)
HERE = re.compile(r"#[\w-]*|[\w-]+\.html(#[\w-]*)?")
"""An address in this page, or of a page beside it."""
PICTURE = re.compile(r"data:image/(png|jpeg|gif);base64,[A-Za-z0-9+/=\s]+")
NOTEBOOK = re.compile(r'(<a href=")([\w-]+)\.ipynb(["#])')
STYLE = re.compile(r"<(style|script)\b.*?</\1\s*>", re.DOTALL | re.IGNORECASE)
EMPTY_HEAD = re.compile(r"<th>\s*</th>")
ANSI = re.compile(r"\x1b\[[0-9;]*[A-Za-z]")
FRAMED = '<div class="wide" tabindex="0" role="group" aria-label="{}">'
"""Begins what can be scrolled sideways by itself, by keys too."""
OPEN_END = re.compile(r"<(p|li)>((?:(?!</?(?:p|li|ul|ol)>).)*?)\s*…\s*</\1>", re.DOTALL)
"""A paragraph or a point of a list that ends with …: there is something to write."""


def clean(html: str) -> str:
    """Return HTML with what only shows: known tags without attributes, links to pages beside it, pictures in it."""
    import bleach

    def kept(tag: str, name: str, value: str) -> bool:
        if tag in ("td", "th"):
            return name in ("colspan", "rowspan") and value.isdecimal()
        if tag == "a":
            return name == "href" and HERE.fullmatch(value) is not None
        return tag == "img" and (name == "alt" or (name == "src" and PICTURE.fullmatch(value) is not None))

    # Without http among the protocols bleach refuses every relative address; `kept` refuses all other ones.
    visible = "".join(escape(shown(sign)) if sign not in "<>&\"'" else sign for sign in STYLE.sub("", html))
    return str(bleach.clean(visible, tags=TAGS, attributes=kept, protocols={"data", "http", "https"}, strip=True))


def words_html(source: str, beside: Collection[str]) -> str:
    """Return a text cell (Markdown) as clean HTML; formulas stay as typed.

    beside: the names, without an ending, of the lessons that have a page in the same folder; links to others are text.
    """
    from nbconvert.filters.markdown_mistune import IPythonRenderer, MarkdownWithMath

    renderer = IPythonRenderer(escape=True, allow_harmful_protocols=False, exclude_anchor_links=True)
    html = MarkdownWithMath(renderer=renderer).render(shown(source))
    html = NOTEBOOK.sub(lambda link: f"{link[1]}{link[2]}.html{link[3]}" if link[2] in beside else link[0], html)
    return in_frames(clean(html))


def in_frames(html: str) -> str:
    """Return HTML whose tables can be scrolled sideways by themselves; empty heads become cells."""
    html = EMPTY_HEAD.sub("<td></td>", html)
    frame = FRAMED.format("Table")
    return html.replace("<table>", f"{frame}<table>").replace("</table>", "</table></div>")


def with_room(html: str, cell: str) -> str:
    """Return HTML with room to type under each line that ends with an ellipsis.

    cell: makes the names of the fields differ from those of other cells. What is typed belongs to the question's words:
    a lesson that is reworded does not show an answer under another question.
    """
    count = 0

    def room(found: re.Match[str]) -> str:
        nonlocal count
        count += 1
        tag, question = found[1], found[2]
        plain = unescape(re.sub(r"<[^>]*>", "", question))
        return f"<{tag}>{field(f'{cell}-{count}', question, plain)}</{tag}>"

    return OPEN_END.sub(room, html)


def field(name: str, label_html: str, question: str) -> str:
    """Return a label and under it room to type. label_html: clean; question: its words, which the text is kept by."""
    key = hashlib.sha256(question.encode()).hexdigest()[:12]
    ident = escape(name, quote=True)
    return f'<label for="{ident}">{label_html}</label><textarea id="{ident}" rows="1" data-kept="{key}"></textarea>'


def output_html(output: Mapping[str, Any]) -> str:
    """Return one stored output of a code cell as clean HTML; of several forms the richest that can do nothing."""
    if output["output_type"] == "stream":
        return verbatim(output["text"])
    if output["output_type"] == "error":
        return verbatim("\n".join(output["traceback"]))
    data = output["data"]
    said = escape(shown(data.get("text/plain", "Picture")), quote=True)
    if "image/png" in data:
        png = checked_base64(data["image/png"])
        return f'{FRAMED.format("Picture")}<img src="data:image/png;base64,{png}" alt="{said}"></div>'
    if "image/svg+xml" in data:
        return f"{FRAMED.format('Picture')}{svg_image(data['image/svg+xml'], unescape(said))}</div>"
    if "text/html" in data:
        return in_frames(clean(data["text/html"]))
    return verbatim(data.get("text/plain", ""))


def svg_image(svg: str, says: str) -> str:
    """Return an SVG as an image, in which nothing runs and nothing is fetched. says: the same in a sentence."""
    raw = base64.b64encode(svg.encode()).decode()
    return f'<img src="data:image/svg+xml;base64,{raw}" alt="{escape(says, quote=True)}">'


def verbatim(text: str) -> str:
    """Return a text as it was printed."""
    return f'<pre class="wide" tabindex="0">{escape(shown(ANSI.sub("", text)))}</pre>'


def checked_base64(text: str) -> str:
    """Return base64 without line ends; raises ValueError if it is none."""
    return base64.b64encode(base64.b64decode("".join(text.split()), validate=True)).decode()
