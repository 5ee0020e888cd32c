"""A line of rounds for several sizes: its label, what it says to work, what its counts count.

``Sizes B (C) only - Rnds 12-19 (12-21): Ch 1, hdc in each st around, join. (84 (92) hdc)``
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.writer_sizes import by_size, write_for_sizes

from .lines import count_words, instruction
from .marks import only
from .side_by_side import Row, Said, merged
from .sizes_written import SizesLine, SizesPattern
from .written import WrittenRound

LONGEST_LABEL = 72
"""Characters a label may have: it is never broken, and the reader takes it for one."""


def numbers_of(written: WrittenRound) -> str:
    """``12``, ``12-19``."""
    if written.first == written.last:
        return str(written.first)
    return f"{written.first}-{written.last}"


def label(row: Row[WrittenRound], marks: Sequence[str]) -> str:
    """``Rnd 20 (22, 22)``, ``Rnds 12-19 (12-21, 13-21)``; sizes first where it is not for all."""
    if row.items[0].first != row.items[0].last:
        # after a range a single number would be the end of the size's own
        numbers = [f"{r.first}-{r.last}" for r in row.items]
    else:
        numbers = [numbers_of(r) for r in row.items]
    word = "Rnd" if all(r.first == r.last for r in row.items) else "Rnds"
    numbered = f"{word} {by_size(numbers)}"
    return numbered if len(row.sizes) == len(marks) else f"{only(row.sizes, marks)} - {numbered}"


def fitting(row: Row[WrittenRound], marks: Sequence[str]) -> Iterator[Row[WrittenRound]]:
    """The row, or as many as it takes for their labels to stand on one line each: first a row
    for each number of the round, then halves."""
    if len(row.sizes) == 1 or len(label(row, marks)) <= LONGEST_LABEL:
        yield row
        return
    numbers = [numbers_of(r) for r in row.items]
    groups = [[i for i, n in enumerate(numbers) if n == each] for each in dict.fromkeys(numbers)]
    if len(groups) == 1:
        half = len(numbers) // 2
        groups = [list(range(half)), list(range(half, len(numbers)))]
    for group in groups:
        part = Row(tuple(row.sizes[i] for i in group), tuple(row.items[i] for i in group))
        yield from fitting(part, marks)


def instructions(rounds: Sequence[WrittenRound], terms: Terms) -> str:
    """What the rounds say to work, numbers that differ as lists."""
    first = rounds[0]
    every = [r.steps for r in rounds if r.steps is not None]
    if len(every) < len(rounds):
        return merged([instruction(r, terms) for r in rounds])
    return write_for_sizes(every, terms, unit=first.unit, space=first.space, said=True)


def counts(rounds: Sequence[WrittenRound], terms: Terms) -> str:
    """``84 (88, 96) hdc``, ``84 (88) places; 63 (66) hdc, 21 (22) ch-1 sps``."""
    return merged([count_words(r, terms) for r in rounds])


def parts(line: SizesLine, pattern: SizesPattern) -> tuple[str, str, str]:
    """Label, instruction and count of a line."""
    rounds = line.row.items
    said = instructions(rounds, pattern.terms)
    return label(line.row, pattern.marks), said, counts(rounds, pattern.terms)


def line_text(line: SizesLine, pattern: SizesPattern) -> str:
    """The whole line."""
    labelled, said, counted = parts(line, pattern)
    return f"{labelled}: {said} ({counted})"


def sentence(said: Said, pattern: SizesPattern, among: Sequence[int] | None = None) -> str:
    """A sentence, with the sizes it is for unless it is for all (of those it stands among)."""
    if said.sizes == tuple(pattern.every if among is None else among):
        return said.text
    return f"{only(said.sizes, pattern.marks)}: {said.text}"


def all_texts(pattern: SizesPattern) -> Iterator[str]:
    """Everything that may hold an abbreviation."""
    for block in (pattern.gauge, pattern.start, pattern.finishing):
        yield from (said.text for said in block)
    yield from pattern.notes
    for heading in pattern.headings:
        yield from (line_text(line, pattern) for line in heading.lines)
