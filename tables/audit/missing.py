"""Rounds that are not there: the numbers of a pattern jump, and a wrong round may only lack the
one before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from evenround.tables.rounds.counter import CountError

from .expand import Given
from .judge import judge
from .rows import Course, Mend, Row, Sized
from .settle import figure_of
from .variants import variants
from .wording import round_words


def missing_between(before: Given, after: Given) -> range:
    """The numbers left out between two rounds of a section."""
    if before.source.section != after.source.section or not _numbered(before, after):
        return range(0)
    return range(before.number + 1, after.number)


def _numbered(*given: Given) -> bool:
    return all(each.source.first is not None for each in given)


def missing_notes(sized: Sequence[Sized]) -> Iterator[str]:
    """What numbers are in no size's rounds, though later ones are."""
    there = {(r.given.source.section, r.given.number) for one in sized for r in one.rows}
    told: set[tuple[int, int]] = set()
    for one in sized:
        for before, after in pairwise(one.rows):
            gap = missing_between(before.given, after.given)
            section = after.given.source.section
            if not gap or any((section, n) in there for n in gap):
                continue
            if (gap.start, gap.stop) in told:
                continue
            told.add((gap.start, gap.stop))
            what = f"no Rnd {gap.start}" if len(gap) == 1 else f"no Rnds {gap.start}-{gap.stop - 1}"
            yield f"there is {what}: the numbers go from {gap.start - 1} to {gap.stop}"


def missing_mend(course: Course, at: int, row: Row) -> Mend | None:
    """The round that is not there, made in the manner of the wrong one after it, where with it
    that one comes out as printed."""
    if not at or row.below is None or figure_of(row.steps) is not None:
        return None
    gap = missing_between(course.rounds[at - 1], row.given)
    if len(gap) != 1:
        return None
    ways = course.ways(row.given)
    for variant in variants(row.steps):
        if variant.change not in ("number", "together") or variant.by > 2:
            continue
        try:
            lacking = judge(variant.steps, row.below, (), ways)
            if lacking is None or not lacking.borne_out or lacking.worked.short:
                continue
            then = judge(row.steps, lacking.worked.made, row.given.printed, ways)
        except CountError:
            continue
        if then is not None and then.borne_out and not then.worked.short:
            words = round_words(variant.steps, course.terms)
            return Mend(
                f"put in the Rnd {gap.start} that is not there: \u201c{words}\u201d makes "
                f"{lacking.worked.makes}, and on that {row.given.label} comes out"
            )
    return None
