"""A pattern as the page shows it: headings, a line a round, what stands around them.

The words are the pattern's own; here they are only put in their places.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from evenround.tables.pattern import SizesPattern, WrittenPattern
from evenround.tables.pattern.lines import before_words, count_words, heading_lines, heading_title
from evenround.tables.pattern.marks import sizes_line
from evenround.tables.pattern.page import gauge_title
from evenround.tables.pattern.side_by_side import Said
from evenround.tables.pattern.sizes_lines import parts, sentence
from evenround.tables.pattern.written import Heading, WrittenRound
from evenround.tables.words import clean

from .views import Fact, Part, Pattern, Round


def one_size(pattern: WrittenPattern) -> Pattern:
    """The pattern of one candidate. Its warnings and cautions stand elsewhere on the page."""
    front = [
        ("Materials", pattern.materials),
        (gauge_title(pattern.terms), pattern.gauge),
        ("Finished measurements", pattern.measurements),
        (_abbreviations(pattern.terms), _pairs(pattern.abbreviations)),
        ("Notes", pattern.notes),
        ("Start", (pattern.start,)),
    ]
    title = pattern.title if pattern.size is None else f"{pattern.title}, size {pattern.size}"
    return Pattern(
        title,
        tuple(_facts(front)),
        tuple(_part(heading, pattern) for heading in pattern.headings),
        tuple(_facts([("Finishing", pattern.finishing)])),
    )


def _abbreviations(terms: str) -> str:
    return f"Abbreviations ({'US' if terms == 'us' else 'UK'} terms)"


def _pairs(abbreviations: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(f"{short}: {long}" for short, long in abbreviations)


def _facts(blocks: Iterable[tuple[str, Sequence[str]]]) -> Iterator[Fact]:
    return (Fact(name, tuple(lines)) for name, lines in blocks if lines)


def _part(heading: Heading, pattern: WrittenPattern) -> Part:
    rounds = (
        _round(written, line, pattern) for written, line in heading_lines(heading, pattern.terms)
    )
    return Part(heading_title(heading, pattern.terms), heading.before, tuple(rounds))


def _round(written: WrittenRound, line: str, pattern: WrittenPattern) -> Round:
    count = count_words(written, pattern.terms)
    said = line.removeprefix(f"{written.label}: ").removesuffix(f" ({count})")
    before, after = before_words(written), written.after
    return Round(written.label, said, count, (before,) * bool(before), (after,) * bool(after))


def all_sizes(pattern: SizesPattern) -> Pattern:
    """The pattern of a family, with numbers that differ as lists."""

    def said(every: Sequence[Said], among: Sequence[int] | None = None) -> tuple[str, ...]:
        return tuple(sentence(each, pattern, among) for each in every)

    lettered = pattern.marks != pattern.names
    pairs = zip(pattern.marks, pattern.names, strict=True)
    sizes = [sizes_line(pattern.marks), *(f"{m}: {clean(n)}" for m, n in pairs if lettered)]
    front = [
        ("Sizes", tuple(sizes)),
        ("Materials", said(pattern.materials)),
        ("Yarn", said(pattern.yarn)),
        (gauge_title(pattern.terms), said(pattern.gauge)),
        ("Finished measurements", said(pattern.measurements)),
        (_abbreviations(pattern.terms), _pairs(pattern.abbreviations)),
        ("Notes", pattern.notes),
        ("Start", said(pattern.start)),
    ]
    made = []
    for heading in pattern.headings:
        rounds = []
        for line in heading.lines:
            labelled, works, counted = parts(line, pattern)
            sizes_of = line.row.sizes
            around = (said(line.before, sizes_of), said(line.after, sizes_of))
            rounds.append(Round(labelled, works, counted, *around))
        made.append(Part(heading.title, said(heading.before), tuple(rounds), said(heading.after)))
    back = [("Finishing", said(pattern.finishing)), ("Warnings", said(pattern.warnings))]
    return Pattern(pattern.title, tuple(_facts(front)), tuple(made), tuple(_facts(back)))
