"""A page read back: its elements as a small tree, so that checks need no browser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

from evenround.cli.page import Asked, solved
from evenround.tables.brief import read_brief
from evenround.tables.facts import data_text
from evenround.tables.page import Answers
from evenround.tables.plan import Unit

EMPTY = {"meta", "br", "input", "link", "img"}
"""Elements of HTML that have no end."""


@dataclass
class Element:
    """One element: its name, attributes, and what stands in it."""

    name: str
    attributes: dict[str, str]
    inside: list[Element | str] = field(default_factory=list)

    def every(self, name: str = "", look: str = "") -> Iterator[Element]:
        """All elements below of that name and class, in order."""
        for each in self.inside:
            if isinstance(each, Element):
                classes = each.attributes.get("class", "").split()
                if (not name or each.name == name) and (not look or look in classes):
                    yield each
                yield from each.every(name, look)

    def one(self, name: str = "", look: str = "") -> Element:
        """The first of them."""
        return next(self.every(name, look))

    def by_id(self, anchor: str) -> Element:
        """The element with that id."""
        return next(e for e in self.every() if e.attributes.get("id") == anchor)

    @property
    def text(self) -> str:
        """All text below, spaces as single ones."""
        parts = [each if isinstance(each, str) else each.text for each in self.inside]
        return " ".join(" ".join(parts).split())


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].inside.append(element)
        if tag not in EMPTY:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in EMPTY:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].name == tag, f"</{tag}> closes <{self.open[-1].name}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)


def read_page(html: str) -> Element:
    """The tree of a page; AssertionError where an element is not closed in its order."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == [reader.root], "something stands open at the end"
    return reader.root


def answers_of(
    text: str, *, size: str | None = None, best: int = 3, unit: Unit | None = None
) -> Answers:
    """A brief solved as the command solves it."""
    brief = read_brief(text.encode(), "test")
    return solved(brief, text, Asked(size, best, 20.0, unit))


def example(name: str) -> str:
    """A built-in brief's text."""
    return data_text(f"{name}.toml")


def with_family(text: str) -> str:
    """The brief with a [family] of its own."""
    return text.replace("[gauge]", "[family]\nrising = true\n\n[gauge]", 1)
