"""The sections below a crown on another count: what each becomes, with a nudge where it must."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from .adapt import main_sections, nudges_of
from .adapt_design import Asked, Design
from .suits import Multiple, usual_nudge
from .tally import SectionTally

FEWEST_SECTORS, MOST_SECTORS, NEAREST_SECTORS = 4, 40, 4
FURTHEST_NUDGE = 40
"""Stitches a nudge may be where only the band may change: beyond the usual limit it is said."""


@dataclass(frozen=True, slots=True)
class Line:
    """A design as far as it is made: ``at`` is the next section, ``count`` what it begins on,
    ``spare`` the rounds there are more than before (an even section gives them up), ``nudged``
    whether the last thing made is a nudge."""

    start: int
    sections: tuple[SectionTally, ...]
    at: int
    count: int
    spare: int
    nudged: bool

    def then(self, section: SectionTally, spare: int | None = None) -> Line:
        """One section further."""
        left = self.spare if spare is None else spare
        made = (*self.sections, section)
        return Line(self.start, made, self.at + 1, section.count_out, left, False)

    def nudge(self, change: int, *, kept: bool) -> Line:
        """A nudge further: unless there was one before (``kept``), it takes the place of the even
        round before it, if there are two."""
        before, spare = self.sections, self.spare + (not kept)
        if not kept and before and before[-1].section == "even" and before[-1].rounds > 1:
            shorter = replace(before[-1], changes=before[-1].changes[:-1])
            before, spare = (*before[:-1], shorter), self.spare
        made = (*before, SectionTally("nudge", "nudge", self.count, (change,)))
        return Line(self.start, made, self.at, self.count + change, spare, True)


def finished(design: Design, asked: Asked, line: Line) -> Iterator[Line]:
    """Every way to finish a design from a line on."""
    old = main_sections(design.tally)
    if line.at == len(old):
        yield line
        return
    want = asked.repeats.get(line.at, design.wants[line.at])
    for begun in _begun(design, asked, line, want):
        if not _wide_enough(asked, old, begun):
            continue
        for done in _section(asked, old[line.at], begun, want):
            yield from finished(design, asked, done)


def _wide_enough(asked: Asked, old: Sequence[SectionTally], line: Line) -> bool:
    """Whether even rounds or a band begin within reach of the wished circumference, as far from
    it as they were from the sides before."""
    here = old[line.at]
    if asked.target is None or here.section not in ("even", "band"):
        return True
    side = next(section.count_in for section in old if section.section != "crown")
    return abs(line.count - asked.target - (here.count_in - side)) <= asked.reach + 1e-9


def _begun(design: Design, asked: Asked, line: Line, want: Multiple | None) -> Iterator[Line]:
    """The line as it is where the section fits, else with a nudge before it."""
    kept = nudges_of(design.tally).get(line.at, 0)
    if want is None:
        above = line.at == 1 and design.tally.crown is not None and not asked.band_only
        if kept and not line.nudged and not above:  # above, the crowns have had their nudges
            yield line.nudge(kept, kept=True)
        else:
            yield line
        if not above:
            yield from _back(design, line, kept)
        return
    if want.suits(line.count):
        yield line
        return
    if line.nudged:
        return
    if asked.band_only and line.at in asked.repeats:
        limit = min(FURTHEST_NUDGE, line.count // 2)
    else:
        limit = usual_nudge(line.count)
    suiting = [c for c in range(-limit, limit + 1) if want.suits(line.count + c)]
    for way in ([c for c in suiting if c < 0][-2:], [c for c in suiting if c > 0][:2]):
        for change in way:
            yield line.nudge(change, kept=bool(kept))


def _back(design: Design, line: Line, kept: int) -> Iterator[Line]:
    """A nudge back to the count the brim had, so that it stays as it was."""
    old = main_sections(design.tally)[line.at]
    change = old.count_in - line.count
    if old.section != "brim" or line.nudged or change in (0, kept):
        return
    if abs(change) <= usual_nudge(line.count):
        yield line.nudge(change, kept=bool(kept))


def _section(asked: Asked, old: SectionTally, line: Line, want: Multiple | None) -> Iterator[Line]:
    match old.section:
        case "even":
            rounds = asked.even_rounds.get(line.at, old.rounds)
            # a round more above is taken from here, so that the depth stays
            gives = min(line.spare, rounds - 1) if line.spare > 0 else line.spare
            gives = max(gives, rounds - 400)
            changes = (0,) * (rounds - gives)
            yield line.then(SectionTally("even", old.name, line.count, changes), line.spare - gives)
        case "band" | "edging":
            yield from _figured(asked, old, line, want)
        case "brim":
            yield from _brims(old, line)
        case _:
            raise ValueError(f"sections: a {old.section} stands below the crown")


def _figured(asked: Asked, old: SectionTally, line: Line, want: Multiple | None) -> Iterator[Line]:
    """A band or edging on its count; in several ways where its repeat has give."""
    new = asked.figures.get(line.at)
    if want is None:
        if line.count == old.count_in:  # nobody knows its repeat: only as it was
            yield line.then(old)
        return
    for t, repeats in want.fitting(line.count):
        per_repeat = _kept(old, want.at(t)) if new is None else new.figure.over(t, new.rounds)
        rest = want.remainder
        counts = [repeats * each + rest for each in per_repeat]
        changes = tuple(b - a for a, b in pairwise(counts))
        made = SectionTally(
            old.section,
            old.name,
            line.count,
            changes,
            want.at(t),
            repeats,
            t if want.give else None,
            per_repeat,
        )
        yield line.then(made)


def _kept(old: SectionTally, repeat: int) -> tuple[int, ...]:
    """Counts per repeat of a band that keeps its rounds: its own where the repeat is its own,
    else those of a figure that leaves in proportion as many."""
    if old.per_repeat is None or old.repeat is None:
        return (repeat,) * (old.rounds + 1)
    if repeat == old.repeat:
        return old.per_repeat
    leaves = max(1, round(repeat * old.per_repeat[-1] / old.repeat))
    return (*(repeat,) * old.rounds, leaves)


def _brims(old: SectionTally, line: Line) -> Iterator[Line]:
    """The brim with its rhythm on another count: the nearest numbers of sectors that divide it;
    increases that differ from round to round each the nearest."""
    adds = {abs(change) for change in old.changes if change}
    if not adds:
        yield line.then(replace(old, count_in=line.count))
        return
    if line.count == old.count_in:
        yield line.then(old)
        return
    if len(adds) > 1:
        changes = _greedy(old.changes, line.count)
        if changes is not None:
            yield line.then(_brim(old, line.count, changes))
        return
    wished = next(iter(adds))
    for sectors in _sectors(line.count, wished):
        signs = [(change > 0) - (change < 0) for change in old.changes]
        yield line.then(_brim(old, line.count, tuple(sign * sectors for sign in signs)))


def _brim(old: SectionTally, count: int, changes: tuple[int, ...]) -> SectionTally:
    first = next((abs(change) for change in changes if change), None)
    return SectionTally("brim", old.name, count, changes, sectors=first, rhythm=old.rhythm)


def _sectors(count: int, wished: int) -> list[int]:
    """Numbers of sectors that divide the count, the nearest to the wished one first."""
    top = max(MOST_SECTORS, wished)
    low = min(FEWEST_SECTORS, wished)
    fits = [s for s in range(low, top + 1) if count % s == 0]
    return sorted(fits, key=lambda s: (abs(s - wished), s))[:NEAREST_SECTORS]


def _greedy(changes: Sequence[int], count: int) -> tuple[int, ...] | None:
    out: list[int] = []
    for change in changes:
        if not change:
            out.append(0)
            continue
        found = _sectors(count, abs(change))
        if not found or abs(found[0] - abs(change)) * 2 > abs(change):
            return None
        out.append(found[0] if change > 0 else -found[0])
        count += out[-1]
    return tuple(out)
