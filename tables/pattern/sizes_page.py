"""The pattern for all sizes as a page: text at 80 columns, or Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from evenround.tables.layout import paragraph
from evenround.tables.safe import in_markdown
from evenround.tables.words import clean

from .marks import sizes_line
from .page import GLUE, SHORT, Block, gauge_title, markdown_block, text_block, underlined
from .side_by_side import Said
from .sizes_lines import line_text, parts, sentence
from .sizes_written import SizesHeading, SizesLine, SizesPattern

LONG_LIST = 56
"""A list longer than this may be broken between two of its numbers."""
_ONE = r"[+-]?\d+(?:\.\d+)?(?:-\d+)?"
_LISTS = re.compile(rf"{_ONE} \({_ONE}(?:, {_ONE})*\)(?: [a-z]+)?")


def _sizes(pattern: SizesPattern) -> list[str]:
    """The sizes on one line, and what they are where they are lettered."""
    lines = [sizes_line(pattern.marks)]
    if pattern.marks != pattern.names:
        pairs = zip(pattern.marks, pattern.names, strict=True)
        lines += [f"{mark}: {clean(name)}" for mark, name in pairs]
    return lines


def _front(pattern: SizesPattern) -> Iterator[Block]:
    yield "Sizes", _sizes(pattern)
    yield "Materials", _said(pattern.materials, pattern)
    yield "Yarn", _said(pattern.yarn, pattern)
    yield gauge_title(pattern.terms), _said(pattern.gauge, pattern)
    yield "Assumed", _said(pattern.assumptions, pattern)
    yield "Finished measurements", _said(pattern.measurements, pattern)
    terms = "US" if pattern.terms == "us" else "UK"
    yield f"Abbreviations ({terms} terms)", [f"{s}: {long}" for s, long in pattern.abbreviations]
    yield "Notes", list(pattern.notes)
    yield "Start", _said(pattern.start, pattern)


def _back(pattern: SizesPattern) -> Iterator[Block]:
    yield "Finishing", _said(pattern.finishing, pattern)
    yield "Warnings", _said(pattern.warnings, pattern)
    yield "Cautions", _said(pattern.cautions, pattern)


def _said(
    every: Sequence[Said], pattern: SizesPattern, among: Sequence[int] | None = None
) -> list[str]:
    return [sentence(each, pattern, among) for each in every]


def to_text(pattern: SizesPattern) -> str:
    """The pattern at 80 columns."""
    blocks = [paragraph(pattern.title)]
    blocks += [_text_block(name, lines) for name, lines in _front(pattern) if lines]
    for heading in pattern.headings:
        lines = [*underlined(heading.title), *_around_lines(heading, pattern)]
        blocks.append("\n".join(lines))
    blocks += [_text_block(name, lines) for name, lines in _back(pattern) if lines]
    return "\n\n".join(blocks) + "\n"


def _text_block(name: str, lines: Sequence[str]) -> str:
    return text_block(name, [_glued(line) for line in lines]).replace(GLUE, " ")


def _paragraph(text: str) -> str:
    return paragraph(_glued(text)).replace(GLUE, " ")


def rounds_text(pattern: SizesPattern) -> str:
    """The sizes, the notes and every line of rounds as the page has them, without what else is
    said around them (see ``page.rounds_text``)."""
    blocks = [sizes_line(pattern.marks)]
    blocks.append("\n".join(paragraph(note, indent="  ", first="") for note in pattern.notes))
    blocks += [
        "\n".join(_shown(line, pattern) for line in heading.lines) for heading in pattern.headings
    ]
    return "\n\n".join(blocks) + "\n"


def _around_lines(heading: SizesHeading, pattern: SizesPattern) -> Iterator[str]:
    """A heading's lines with what is said above and below each."""
    yield from map(_paragraph, _said(heading.before, pattern))
    for line in heading.lines:
        yield from map(_paragraph, _said(line.before, pattern, line.row.sizes))
        yield _shown(line, pattern)
        yield from map(_paragraph, _said(line.after, pattern, line.row.sizes))
    yield from map(_paragraph, _said(heading.after, pattern))


def _shown(line: SizesLine, pattern: SizesPattern) -> str:
    """A line wrapped at the page's width. A label and a list stay in one piece, a number with
    its word; no line begins with what could be taken for a round's label."""
    labelled, said, counted = parts(line, pattern)
    said = re.sub(r"(?<=\d) (?=[a-z])| (?=\d+[.;:)]|\*\d)", GLUE, _glued(said))
    counted = counted.replace(" ", GLUE) if len(counted) < SHORT else _glued(counted)
    kept = f"{labelled.replace(' ', GLUE)}: {said} ({counted})"
    return paragraph(kept, indent="    ", first="").replace(GLUE, " ")


def _glued(text: str) -> str:
    """Lists by size in one piece, unless they are long; a long one is broken after commas."""

    def keep(found: re.Match[str]) -> str:
        words = found[0]
        if len(words) <= LONG_LIST:
            return words.replace(" ", GLUE)
        return re.sub(r" (?=\(|[\d.]+\)|[a-z])", GLUE, words)

    return _LISTS.sub(keep, text)


def to_markdown(pattern: SizesPattern) -> str:
    """The pattern as Markdown; every line of rounds is an item of a list."""
    blocks = [f"# {in_markdown(pattern.title)}"]
    blocks += [markdown_block(name, lines) for name, lines in _front(pattern) if lines]
    for heading in pattern.headings:
        items = [f"## {in_markdown(heading.title)}"]
        items += map(in_markdown, _said(heading.before, pattern))
        items.append("\n".join(_markdown_lines(heading, pattern)))
        items += map(in_markdown, _said(heading.after, pattern))
        blocks.append("\n\n".join(items))
    blocks += [markdown_block(name, lines) for name, lines in _back(pattern) if lines]
    return "\n\n".join(blocks) + "\n"


def _markdown_lines(heading: SizesHeading, pattern: SizesPattern) -> Iterator[str]:
    for line in heading.lines:
        yield from (
            f"- {in_markdown(text)}" for text in _said(line.before, pattern, line.row.sizes)
        )
        yield f"- {in_markdown(line_text(line, pattern))}"
        yield from (
            f"  - {in_markdown(text)}" for text in _said(line.after, pattern, line.row.sizes)
        )
