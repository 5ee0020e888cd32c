"""The lines of a pattern gathered: rounds with their text, headings, and the lines between.

A round's text may go on over the next lines; every mark keeps its line and column.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from .lines import MOST_OF_A_ROUND, Label, Line, size_heading
from .lines_names import match_sizes
from .pattern import Where
from .reader_error import ReadError
from .reader_lexer import Lexicon, plain, words


@dataclass
class Block:
    """One round's text, in pieces by line; ``label`` None: a line that labels no round."""

    label: Label | None
    lines: list[Line]
    section: str
    sizes: tuple[str, ...] | None
    text: str = ""
    starts: list[int] = field(default_factory=list)

    def add(self, line: Line) -> None:
        """Go on with another line."""
        self.lines.append(line)
        if self.text:
            self.text += " "
        self.starts.append(len(self.text))
        self.text += line.text

    def where(self, column: int = 1) -> Where:
        """The place in the pattern of a column (from 1) of the text."""
        at = column - 1
        index = max((i for i, start in enumerate(self.starts) if start <= at), default=0)
        line = self.lines[index]
        return Where(line.number, line.column + at - self.starts[index])


@dataclass
class Gathered:
    """All blocks in order; lines that are no rounds stand in ``others``."""

    blocks: list[Block] = field(default_factory=list)
    others: list[Line] = field(default_factory=list)


def gather(lines: list[Line], lexicon: Lexicon, sizes: tuple[str, ...], said: set[int]) -> Gathered:
    """The lines as blocks. ``said`` holds the numbers of lines already understood as facts."""
    return _Gatherer(lexicon, sizes, said).run(lines)


class _Gatherer:
    def __init__(self, lexicon: Lexicon, sizes: tuple[str, ...], said: set[int]) -> None:
        self.lexicon, self.sizes, self.said = lexicon, sizes, said
        self.section = ""
        self.restricted: tuple[str, ...] | None = None
        self.out = Gathered()

    def run(self, lines: list[Line]) -> Gathered:
        for at, line in enumerate(lines):
            if at == 0 and line.label is None and _title(line.text, self.lexicon):
                continue
            if line.label is not None and self.wrapped(line):
                line = line.unlabelled()
            if line.label is not None:
                self.round(line)
            else:
                self.other(line)
        return self.out

    def wrapped(self, line: Line) -> bool:
        """Whether what looks like a bare number's label goes on with a round that stops short."""
        before = self.out.blocks[-1] if self.out.blocks else None
        label = line.label
        if before is None or before.label is None or label is None or line.blank_before:
            return False
        return label.text.isdigit() and label.first != _next(before) and _unfinished(before.text)

    def round(self, line: Line) -> None:
        label = line.label
        assert label is not None
        if label.heading is not None:
            self.section = label.heading
        sizes = self.restricted
        if label.names is not None:
            sizes = match_sizes(label.names, self.sizes)
            if label.names == "" or sizes == self.sizes:
                sizes = None
        block = Block(label, [], self.section, sizes)
        block.add(line)
        self.out.blocks.append(block)

    def other(self, line: Line) -> None:
        names = size_heading(line.text)
        if names is not None and self.sizes:
            sizes = match_sizes(names, self.sizes)
            if sizes is not None:
                self.restricted = None if names == "" else sizes
                return
        before = self.out.blocks[-1] if self.out.blocks else None
        if before is not None and before.label is not None and self.goes_on(before, line):
            before.add(line)
            return
        if line.number in self.said:
            return
        if is_heading(line.text, self.lexicon):
            self.section = heading_of(line.text)
            self.restricted = self.restricted if self.is_sized() else None
            return
        block = Block(None, [], self.section, self.restricted)
        block.add(line)
        self.out.blocks.append(block)

    def is_sized(self) -> bool:
        """Whether the restriction came from a heading that stands over whole sections."""
        return self.restricted is not None

    def goes_on(self, before: Block, line: Line) -> bool:
        """Whether a line without a label goes on with the round before it."""
        if not before.text.strip():
            return True
        if len(before.text) > MOST_OF_A_ROUND or len(line.text) > MOST_OF_A_ROUND:
            return False
        if line.blank_before or line.number in self.said:
            return False
        if _unfinished(before.text):
            return True
        if _titled(line.text) or _ONWARD.match(plain(line.text)):
            return False
        return readable(line.text, self.lexicon) or bool(re.match(r"\s*[(\[{]\s*\d", line.text))


_SECTIONS = re.compile(
    r"\W*(?:crown|top|base|bottom|body|sides?|brim|band|edging|hat|cap|cowl|ring)\b"
)


def _title(text: str, lexicon: Lexicon) -> bool:
    """Whether a first line is the pattern's name: no instruction, nor the first part's heading."""
    lowered = plain(text)
    if len(lowered.split()) <= 3 and _SECTIONS.match(lowered) is not None:
        return False
    return len(text) <= 200 and not readable(text, lexicon)


def _next(block: Block) -> int | None:
    """The number of the round after a block's."""
    last = block.label.last if block.label is not None else None
    return None if last is None else last + 1


def _unfinished(text: str) -> bool:
    """Whether a text stops in the middle: a comma, an open bracket, a star never repeated."""
    stripped = text.rstrip()
    if stripped.endswith((",", ";", "-", " and", " in", " next")):
        return True
    opened = len(re.findall(r"[(\[{]", text)) - len(re.findall(r"[)\]}]", text))
    return opened > 0 or text.count("*") == 1


def readable(text: str, lexicon: Lexicon) -> bool:
    """Whether every word of a line is a word of the trade."""
    try:
        found = words(text, lexicon)
    except ReadError:
        return False
    return any(token.type != "_SEP" for token in found)


_ONWARD = re.compile(
    r"\W*(?:then\s+)?rep(?:eat)?\s+(?:the\s+)?(?:(?:last|previous)\s+(?:\w+\s+)?)?"
    r"(?:rounds?|rnds?|rows?|rds?)\b"
)
"""What repeats rounds, and so is no part of one."""
_NAMED_IN = re.compile(r"[a-z][a-z' -]{1,30}, in [a-z, ]*\d+tog\b")
"""A figure and the stitches it is in: "Wheel, in dc, tr and tr7tog"."""


def is_heading(text: str, lexicon: Lexicon) -> bool:
    """Whether a line is a heading: a few words, none of them an instruction."""
    if len(text) > 80:
        return False
    lowered = plain(text).strip(" :.*#_-")
    if _NAMED_IN.match(lowered):
        lowered = re.sub(r"(?<=[a-z])\d+tog\b", "tog", lowered)
    if len(lowered.split()) > 8 or re.search(r"\d", lowered) or not lowered:
        return False
    return _titled(text) or not readable(text, lexicon)


_TOLD = re.compile(
    r"\b(?:each|next|every|a?round|rep\w*|join\w*|sts?|stitch\w*|turn|same|all|even|straight|work\w*|"
    r"times|to|end|into?\s+(?:it|a|the)|first|last|others?|fasten|ss|sl)\b|[*(\[{]"
)


def _titled(text: str) -> bool:
    """Whether words of the trade stand as a heading: "Bobble, in dc"; no place, no number."""
    stripped = text.strip()
    lowered = plain(stripped)
    few = 0 < len(lowered.split()) <= 6 and stripped[:1].isupper()
    return few and not re.search(r"\d|[.;]$", lowered) and _TOLD.search(lowered) is None


def heading_of(text: str) -> str:
    """A heading without its marks and asides."""
    return re.split(r"[,(:]", text.strip(" *#_-:."))[0].strip()
