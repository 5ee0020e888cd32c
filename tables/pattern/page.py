"""The pattern as a page: text at 80 columns, or Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from evenround.tables.layout import WIDTH, paragraph
from evenround.tables.rounds.pattern import Terms
from evenround.tables.safe import in_markdown

from .lines import before_words, count_words, heading_lines, heading_title
from .written import Heading, WrittenPattern, WrittenRound

Block = tuple[str, list[str]]
"""A heading and what stands under it, a sentence or line each."""


SHORT = 20
GLUE = "\u2060"  # no space to the wrapping, and in no name


def gauge_title(terms: Terms) -> str:
    """What the gauge is headed with."""
    word = "Gauge" if terms == "us" else "Tension"
    return f"{word} (in rounds, same hook, washed)"


def _front(pattern: WrittenPattern) -> Iterator[Block]:
    yield "Materials", list(pattern.materials)
    yield "Yarn", list(pattern.yarn)
    yield gauge_title(pattern.terms), list(pattern.gauge)
    # before the rounds: after them a reader might take "0.8 dc" for work
    yield "Assumed", list(pattern.assumptions)
    yield "Finished measurements", list(pattern.measurements)
    terms = "US" if pattern.terms == "us" else "UK"
    yield f"Abbreviations ({terms} terms)", [f"{s}: {long}" for s, long in pattern.abbreviations]
    yield "Notes", list(pattern.notes)


def _back(pattern: WrittenPattern) -> Iterator[Block]:
    yield "Finishing", list(pattern.finishing)
    yield "Warnings", list(pattern.warnings)
    yield "Cautions", list(pattern.cautions)


def title(pattern: WrittenPattern) -> str:
    """The piece's name, with its size where there are several."""
    return pattern.title if pattern.size is None else f"{pattern.title}, size {pattern.size}"


def to_text(pattern: WrittenPattern) -> str:
    """The pattern at 80 columns."""
    blocks = [paragraph(title(pattern))]
    blocks += [text_block(name, lines) for name, lines in _front(pattern) if lines]
    blocks.append(text_block("Start", [pattern.start]))
    for heading in pattern.headings:
        lines = [paragraph(s) for s in heading.before]
        lines += list(_around_rounds(heading, pattern))
        blocks.append("\n".join([*underlined(heading_title(heading, pattern.terms)), *lines]))
    blocks += [text_block(name, lines) for name, lines in _back(pattern) if lines]
    return "\n\n".join(blocks) + "\n"


def rounds_text(pattern: WrittenPattern) -> str:
    """The notes and every round as the page has them, without what else is said around them:
    names of sections and the like are anybody's, and may be words of the trade."""
    blocks = ["\n".join(paragraph(line, indent="  ", first="") for line in pattern.notes)]
    blocks += [
        "\n".join(shown for _, shown in _text_rounds(heading, pattern))
        for heading in pattern.headings
    ]
    return "\n\n".join(blocks) + "\n"


def _text_rounds(heading: Heading, pattern: WrittenPattern) -> Iterator[tuple[WrittenRound, str]]:
    """Every round wrapped at the page's width; a number stays with its word, and no line
    begins with one that could be taken for a round's, nor with a star before a number, which
    would look like the mark of a list; a short count stays in one piece."""
    for written, line in heading_lines(heading, pattern.terms):
        count = f"({count_words(written, pattern.terms)})"
        said = re.sub(r"(?<=\d) (?=[a-z])| (?=\d+[.,;:)]|\*\d)", GLUE, line.removesuffix(count))
        kept = said + (count.replace(" ", GLUE) if len(count) < SHORT else count)
        yield written, paragraph(kept, indent="    ", first="").replace(GLUE, " ")


def _around_rounds(heading: Heading, pattern: WrittenPattern) -> Iterator[str]:
    """The rounds with what is said above and below them."""
    for written, shown in _text_rounds(heading, pattern):
        if before := before_words(written):
            yield paragraph(before)
        yield shown
        if written.after:
            yield paragraph(written.after)


def text_block(name: str, lines: Iterable[str]) -> str:
    """A heading with its lines, wrapped at the page's width."""
    return "\n".join(
        [*underlined(name), *(paragraph(line, indent="  ", first="") for line in lines)]
    )


def underlined(name: str) -> tuple[str, str]:
    """A heading with a line under it, so that no round goes on past it."""
    shown = paragraph(name)
    return shown, "-" * min(len(name), WIDTH)


def to_markdown(pattern: WrittenPattern) -> str:
    """The pattern as Markdown; every round is an item of a list."""
    blocks = [f"# {in_markdown(title(pattern))}"]
    blocks += [markdown_block(name, lines) for name, lines in _front(pattern) if lines]
    blocks.append(f"## Start\n\n{in_markdown(pattern.start)}")
    for heading in pattern.headings:
        parts = [f"## {in_markdown(heading_title(heading, pattern.terms))}"]
        parts += [in_markdown(s) for s in heading.before]
        parts.append("\n".join(_markdown_rounds(heading, pattern)))
        blocks.append("\n\n".join(parts))
    blocks += [markdown_block(name, lines) for name, lines in _back(pattern) if lines]
    return "\n\n".join(blocks) + "\n"


def _markdown_rounds(heading: Heading, pattern: WrittenPattern) -> Iterator[str]:
    for written, line in heading_lines(heading, pattern.terms):
        if before := before_words(written):
            yield f"- {in_markdown(before)}"
        yield f"- {in_markdown(line)}"
        if written.after:
            yield f"  - {in_markdown(written.after)}"


def markdown_block(name: str, lines: Iterable[str]) -> str:
    """A heading with its lines as a list."""
    return "\n".join([f"## {name}", "", *(f"- {in_markdown(line)}" for line in lines)])
