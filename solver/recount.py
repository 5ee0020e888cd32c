"""Counts a tally again, stitch by stitch, by plain code that shares nothing with the model.

Each round is written out as what the hook does on the round below (places used, places made),
then worked. A round that leaves a stitch over or runs out is reported, whatever the tally says.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from .tally import SectionTally, Tally


class InternalCheckError(AssertionError):
    """A result that its own recount, or a second path, does not bear out."""


Step = tuple[int, int]  # places used, places made


def spread(stitches: int, changes: int) -> list[int]:
    """Gaps between ``changes`` points on a round of ``stitches``, as even as whole numbers
    allow: every stretch of neighbouring gaps differs from another of its length by at most one.
    The longer gaps come first where there is a choice.
    """
    marks = [-(-stitches * i // changes) for i in range(changes + 1)]
    return [after - before for before, after in pairwise(marks)]


def even_round(count: int) -> Iterator[Step]:
    """One in each."""
    return ((1, 1) for _ in range(count))


def change_round(count: int, change: int) -> Iterator[Step]:
    """Increases (two in one) or decreases (two together) evenly spread."""
    if change == 0:
        yield from even_round(count)
        return
    for gap in spread(count, abs(change)):
        plain = gap - 1 if change > 0 else gap - 2
        yield from ((1, 1) for _ in range(plain))
        yield (1, 2) if change > 0 else (2, 1)


def sector_round(count: int, adds: int) -> Iterator[Step]:
    """``adds`` equal sectors, each growing by one."""
    if count % adds:
        raise InternalCheckError(f"{adds} increases do not divide {count} stitches")
    for _ in range(adds):
        yield from ((1, 1) for _ in range(count // adds - 1))
        yield (1, 2)


def figure_round(count: int, repeats: int, takes: int, leaves: int, rest: int) -> Iterator[Step]:
    """``repeats`` figures, each using ``takes`` places and leaving ``leaves``, then the rest."""
    if repeats * takes + rest != count:
        raise InternalCheckError(f"{repeats} repeats of {takes} do not close on {count} stitches")
    for _ in range(repeats):
        yield (takes, leaves)
    yield from ((1, 1) for _ in range(rest))


def work(count: int, steps: Iterator[Step]) -> int:
    """Works steps on ``count`` places; the places made. Raises where they do not come out."""
    left, made = count, 0
    for uses, makes in steps:
        if uses > left:
            raise InternalCheckError(f"a round runs out: {count} stitches are not enough")
        left -= uses
        made += makes
    if left:
        raise InternalCheckError(f"a round leaves {left} of {count} stitches unworked")
    return made


def _rounds(section: SectionTally) -> Iterator[tuple[int, Iterator[Step]]]:
    count = section.count_in
    for number, change in enumerate(section.changes):
        yield change, _round(section, number, count, change)
        count += change


def _round(section: SectionTally, number: int, count: int, change: int) -> Iterator[Step]:
    if section.section in ("crown", "brim") and change > 0 and count % change == 0:
        return sector_round(count, change)
    if section.per_repeat is not None and section.repeats is not None and section.repeat:
        takes, leaves = section.per_repeat[number : number + 2]
        rest = section.count_in - section.repeats * section.repeat
        return figure_round(count, section.repeats, takes, leaves, rest)
    return change_round(count, change)


def recount(tally: Tally) -> tuple[int, ...]:
    """The count after every round, worked stitch by stitch from the start.

    Raises InternalCheckError where a round does not come out even or does not give the count
    that the tally claims.
    """
    counts: list[int] = []
    count = 0 if tally.crown else tally.start
    for section in tally.sections:
        if section.section == "crown":
            count = tally.start
            counts.append(count)
        elif count != section.count_in:
            raise InternalCheckError(f"{section.name} wants {section.count_in}, has {count}")
        ring = section.section == "crown"
        for index, (_, steps) in enumerate(_rounds(section)):
            if ring and index == 0:
                continue
            count = work(count, steps)
            counts.append(count)
        if count != section.count_out:
            raise InternalCheckError(f"{section.name} ends on {count}, not {section.count_out}")
    if tuple(counts) != tally.round_counts:
        raise InternalCheckError("the rounds worked again give other counts than the tally")
    return tuple(counts)
