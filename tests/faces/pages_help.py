"""What the tests of the pages share: the examples rated once, and a reader of HTML that forgives nothing."""

import time
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

from layshaft.machine import read
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

ROOT = Path(__file__).parents[2]
EXAMPLES = ("harbour-light", "cider-mill")
VOID = {"meta", "br", "hr", "img", "input", "link"}


@cache
def rated(name):
    return rate(solve(read(ROOT / "examples" / name)))


class Strict(HTMLParser):
    """Collects tags, ids, texts and attributes; notes every tag that does not close as it opened."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.wrong, self.tags, self.words = [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if len(dict(attrs)) != len(attrs):
            self.wrong.append(f"<{tag}> says an attribute twice: {attrs}")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(f"</{tag}> at {self.getpos()}")

    def handle_data(self, data):
        self.words.append(data)


def parsed(html):
    reader = Strict()
    reader.feed(html)
    reader.close()
    assert reader.wrong == []
    assert reader.open == []
    return reader


def until(what, seconds=60.0):
    """Ask again and again until there is an answer that counts, and give it."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.1)
    raise AssertionError("it did not come in time")
