"""One pattern for all sizes of a family, put together from the pattern of each size.

Every size's own pattern is written, and proved, first; here they are laid side by side. A round
that sizes work alike but for numbers is one line; where they work otherwise each has its own.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import replace

from evenround.solver.candidate import Candidate
from evenround.tables.plan import Plan, Unit
from evenround.tables.rounds.writer_sizes import form
from evenround.tables.words import clean, listed

from . import front
from .abbreviations import abbreviations
from .known import Known
from .lines import before_words, count_words, heading_title
from .marks import marks
from .side_by_side import Row, Said, aligned, said_by_size, skeleton
from .sizes_lines import all_texts, fitting
from .sizes_proof import prove_sizes
from .sizes_written import SizesHeading, SizesLine, SizesPattern
from .whole import NOTHING, write_pattern
from .written import Heading, WrittenPattern, WrittenRound


def write_all_sizes(
    plans: Sequence[Plan],
    members: Sequence[Candidate],
    known: Known = NOTHING,
    *,
    unit: Unit | None = None,
    shift: bool = True,
) -> SizesPattern:
    """The pattern of a family: plans of one brief and a candidate for each, in the same order;
    in the pattern the smallest size comes first.

    As ``write_pattern`` otherwise; from two to MOST_SIZES sizes. Raises InternalCheckError where
    the pattern, read back and counted size by size, is not what the tallies are.
    """
    order = smallest_first(plans, members)
    plans, members = [plans[at] for at in order], [members[at] for at in order]
    patterns = [
        write_pattern(plan, member, known, unit=unit, shift=shift)
        for plan, member in zip(plans, members, strict=True)
    ]
    pattern = _put_together(plans, members, patterns, unit or plans[0].unit)
    prove_sizes(pattern, [member.tally for member in members])
    return pattern


def smallest_first(plans: Sequence[Plan], members: Sequence[Candidate]) -> list[int]:
    """Sizes by index, smallest head first; by what is finished where heads are not said. Sizes
    as large as each other keep their order."""
    heads = [plan.head_cm for plan in plans]
    measured = [
        member.measures.around_cm if head is None or None in heads else head
        for head, member in zip(heads, members, strict=True)
    ]
    return sorted(range(len(plans)), key=lambda at: measured[at])


def _put_together(
    plans: Sequence[Plan],
    members: Sequence[Candidate],
    patterns: Sequence[WrittenPattern],
    unit: Unit,
) -> SizesPattern:
    def said(part: Callable[[WrittenPattern], Iterable[str]]) -> tuple[Said, ...]:
        return said_by_size([part(pattern) for pattern in patterns])

    names = tuple(clean(plan.size) for plan in plans)
    pairs = list(zip(plans, members, strict=True))
    called = marks(names)
    pattern = SizesPattern(
        title=patterns[0].title,
        names=names,
        marks=called,
        terms=patterns[0].terms,
        patterns=tuple(patterns),
        materials=said(lambda p: p.materials),
        yarn=said(lambda p: p.yarn),
        gauge=said(lambda p: p.gauge),
        measurements=said_by_size([front.sized_measurements(p, m, unit) for p, m in pairs]),
        abbreviations=(),
        notes=_notes(called, patterns),
        start=said(lambda p: (p.start,)),
        headings=tuple(_headings(called, members, patterns, unit)),
        finishing=said(lambda p: p.finishing),
        warnings=said(lambda p: p.warnings),
        assumptions=said(lambda p: p.assumptions),
        cautions=said(lambda p: p.cautions),
    )
    return replace(pattern, abbreviations=abbreviations(all_texts(pattern), pattern.terms))


def _notes(called: Sequence[str], patterns: Sequence[WrittenPattern]) -> tuple[str, ...]:
    """How to read lists by size, then every size's notes once: a note is true wherever what it
    speaks of occurs."""
    own = said_by_size([pattern.notes for pattern in patterns])
    first, others = called[0], listed(list(called[1:]))
    return (
        f"Numbers that differ between sizes are given for {first} first, then in brackets for "
        f"{others}; a lone number is true for all. Numbers of rounds are given in the same way: "
        "each size counts its own rounds without a gap.",
        "A line that begins with sizes is for those only, its numbers in the same order; the "
        "others pass it over.",
        *(said.text for said in own),
    )


def _headings(
    called: Sequence[str],
    members: Sequence[Candidate],
    patterns: Sequence[WrittenPattern],
    unit: Unit,
) -> Iterable[SizesHeading]:
    discs = [front.disc_words(member, unit) or "" for member in members]
    terms = patterns[0].terms
    for row in aligned([p.headings for p in patterns], lambda h: (h.name, h.stitches[0])):
        lines = [_without(discs[size], h) for size, h in zip(row.sizes, row.items, strict=True)]
        measured = [[d] if d and d in _said_in(h) else [] for d, h in _pairs(discs, row)]
        yield SizesHeading(
            title=heading_title(row.items[0], terms),
            before=_named(row.sizes, said_by_size([h.before for h in row.items])),
            lines=tuple(_lines(called, row.sizes, aligned(lines, _round_key))),
            after=_named(row.sizes, said_by_size(measured)),
        )


def _pairs(discs: Sequence[str], row: Row[Heading]) -> Iterable[tuple[str, Heading]]:
    return ((discs[size], heading) for size, heading in zip(row.sizes, row.items, strict=True))


def _said_in(heading: Heading) -> set[str]:
    return {each.after for each in heading.rounds}


def _without(disc: str, heading: Heading) -> list[WrittenRound]:
    """A heading's rounds; the disc's width is said once for all sizes, at the heading's end."""
    return [replace(r, after="") if disc and r.after == disc else r for r in heading.rounds]


def _named(sizes: Sequence[int], said: Iterable[Said]) -> tuple[Said, ...]:
    """Sentences by place among some sizes, by the sizes' own indices."""
    return tuple(Said(tuple(sizes[at] for at in each.sizes), each.text) for each in said)


def _lines(
    called: Sequence[str], sizes: Sequence[int], rows: Iterable[Row[WrittenRound]]
) -> Iterable[SizesLine]:
    """Rows of some sizes as lines with what is said around them."""
    for each in rows:
        own = tuple(sizes[at] for at in each.sizes)
        for row in fitting(Row(own, each.items), called):
            before = said_by_size([_sentences(before_words(r)) for r in row.items])
            after = said_by_size([_sentences(r.after) for r in row.items])
            yield SizesLine(row, _named(row.sizes, before), _named(row.sizes, after))


def _sentences(text: str) -> list[str]:
    return [text] if text else []


def _round_key(written: WrittenRound) -> Hashable:
    """What rounds must have in common to stand in one line."""
    worked = skeleton(written.words) if written.steps is None else form(written.steps)
    return (
        worked,
        skeleton(count_words(written, "us")),
        written.unit,
        written.space,
        written.note,
        bool(written.begin),
        written.how,
    )
