"""A page made once: lesson 01, whose lab has the fewest states of those with a choice; and a page read back."""

import base64
import gzip
import json
import re
from html.parser import HTMLParser

import pytest

from trimkit.study.page.export import page_html
from trimkit.study.page.lesson import find_lesson, read_lesson


class Read(HTMLParser):
    """A page's tags with their attributes, in order, its scripts, its style, and the words that people see."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.scripts, self.styles, self.words, self._in = [], [], [], "", None
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self._in = tag if tag in ("script", "style") else None

    def handle_endtag(self, _tag):
        self._in = None

    def handle_data(self, data):
        if self._in == "script":
            self.scripts.append((self.tags[-1][1], data))
        elif self._in == "style":
            self.styles.append(data)
        else:
            self.words += data

    def all(self, name):
        """The attributes of every tag of a name."""
        return [attributes for tag, attributes in self.tags if tag == name]


def labs_of(text):
    """What a page stores of its labs: for each what it was told, and its frames by values."""
    labs = []
    for attributes, data in Read(text).scripts:
        if attributes["type"] == "application/gzip":
            made = json.loads(gzip.decompress(base64.b64decode(data, validate=True)))
            labs.append((made["told"], {tuple(values): frame for values, frame in made["frames"]}))
    return labs


NAMESPACES = {
    "http://www.w3.org/2000/svg",
    "http://www.w3.org/1999/xlink",
    "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "http://purl.org/dc/elements/1.1/",
    "http://purl.org/dc/dcmitype/StillImage",
    "http://creativecommons.org/ns#",
}
"""Names of XML vocabularies inside pictures: they look like addresses, and nothing is ever asked of them."""
LOADS = {"src", "srcset", "action", "formaction", "data", "poster", "background", "ping", "manifest"}


def addresses(text):
    """Everything in a page, its pictures and its labs' frames that could name another place."""
    page = Read(text)
    found = []
    for tag, attributes in page.tags:
        for name, value in attributes.items():
            if name in LOADS and not value.startswith("data:image/"):
                found.append(f"{tag} {name}={value[:60]}")
            if name == "href" and value != "data:," and not re.fullmatch(r"[\w-]+\.html", value):
                found.append(f"{tag} {name}={value[:60]}")
    found += [words for style in page.styles for words in re.findall(r"url\([^)]*\)|@import[^;]*", style)]
    (script,) = [data for attributes, data in page.scripts if attributes["type"] == "module"]
    found += re.findall(r"fetch\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|import\(|importScripts", script)
    pictures = [base64.b64decode(each).decode() for each in re.findall(r"data:image/svg\+xml;base64,([^\"]+)", text)]
    frames = [json.dumps([told, list(kept.values())]) for told, kept in labs_of(text)]
    for part in (text, *pictures, *frames):
        found += [
            each for each in re.findall(r"(?:https?:)?//[\w.-]+\.\w+[^\s\"'<>\\]*", part) if each not in NAMESPACES
        ]
        found += re.findall(r"xlink:href=.(?!#|\\?[\"']#)[^#]{20}", part)
    return found


@pytest.fixture(scope="session")
def page_of_01():
    return page_html(read_lesson(find_lesson("01")), beside=("glossary", "02_bore_depth"))
