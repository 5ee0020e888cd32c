"""A design of the search as a whole tally, section by section."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from .body import BodyPlan
from .ends import EndRow, edging_tally
from .piece import Band, Even
from .search import Found
from .tally import SectionTally, Tally


def lay_out(plan: BodyPlan, found: Found) -> Tally:
    """The whole tally of a design, section by section."""
    sections: list[SectionTally] = []
    now = found.body.count
    if plan.crown is not None and found.crown is not None:
        crown = SectionTally(
            "crown", plan.crown.name, 0, found.crown.changes, sectors=found.crown.sectors
        )
        sections.append(crown)
    evens, bands = iter(found.rounds.evens), iter(found.rounds.bands)
    rows = iter(found.body.bands)
    for run, nudge, mark in zip(plan.runs, found.body.nudges, found.body.marks, strict=True):
        for spot in range(len(run.evens) + 1):
            if spot == mark:
                sections.append(SectionTally("nudge", "nudge", now, (nudge,)))
                now += nudge
            if spot < len(run.evens):
                sections.append(_even(run.evens[spot], now, next(evens)))
        if run.band is not None:
            row = next(rows)
            sections.append(band_tally(run.band, row.give, row.repeats, next(bands)))
            now = sections[-1].count_out
    sections += _end_sections(plan, found.end, now)
    start = found.crown.changes[0] if found.crown else found.body.count
    return Tally(start, tuple(sections))


def _even(even: Even, count: int, rounds: int) -> SectionTally:
    return SectionTally("even", even.name, count, (0,) * rounds)


def band_tally(band: Band, give: int, repeats: int, rounds: int) -> SectionTally:
    """A band of ``repeats`` figures with ``give`` plain stitches over ``rounds`` rounds."""
    per_repeat = band.figure.over(give, rounds)
    changes = tuple(repeats * (b - a) for a, b in pairwise(per_repeat))
    return SectionTally(
        "band",
        band.name,
        per_repeat[0] * repeats + band.remainder,
        changes,
        per_repeat[0],
        repeats,
        give if band.figure.has_give else None,
        per_repeat,
    )


def _end_sections(plan: BodyPlan, end: EndRow, now: int) -> Iterator[SectionTally]:
    if end.brim is not None:
        yield end.brim
        now = end.brim.count_out
    if end.nudge:
        yield SectionTally("nudge", "nudge", now, (end.nudge,))
        now += end.nudge
    if plan.edging is not None:
        edging = edging_tally(plan.edging, now)
        assert edging is not None
        yield edging
