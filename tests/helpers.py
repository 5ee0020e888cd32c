"""Shared builders of small pieces and tallies for the checks against the outside."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from hypothesis import settings

from evenround.solver import Band, Crown, Even, Figure, Fit, Gauge, SectionTally, Tally

INCH = 2.54
FOUR_INCHES = 10.16

CALM = settings(deadline=None, derandomize=True)
"""Properties are tried on the same examples every run, however busy the machine."""


def flat_gauge(rate: float, stitches: float, over_cm: float = 10.0) -> Gauge:
    """A gauge of ``stitches`` over ``over_cm`` whose discs lie flat at ``rate`` a round."""
    width = over_cm / stitches
    return Gauge(width, rate * width / (2 * pi))


def plain_figure(repeat: int, rounds: int = 1) -> Figure:
    """A figure that leaves what it takes."""
    return Figure((repeat,) * (rounds + 1), (0,) * (rounds + 1))


def plain_band(gauge: Gauge, repeat: int, rounds: int = 1, **more: object) -> Band:
    """A band worked once through a plain figure."""
    figure = plain_figure(repeat, rounds)
    return Band(gauge, figure, rounds=(rounds, rounds), **more)  # type: ignore[arg-type]


def plain_crown(start: int, rates: Sequence[tuple[int, int]], sectors: int) -> SectionTally:
    """A crown's tally: the start, then each ``(adds, rounds)``."""
    changes = (start, *(adds for adds, rounds in rates for _ in range(rounds)))
    return SectionTally("crown", "crown", 0, changes, sectors=sectors)


def plain_rounds(count: int, rounds: int, name: str = "even") -> SectionTally:
    """So many even rounds."""
    return SectionTally("even", name, count, (0,) * rounds)


def worked_band(count: int, repeat: int, rounds: int = 1) -> SectionTally:
    """A band's tally of a plain figure, worked once."""
    return SectionTally(
        "band",
        "band",
        count,
        (0,) * rounds,
        repeat,
        count // repeat,
        per_repeat=(repeat,) * (rounds + 1),
    )


def disc(start: int, rounds: int) -> Tally:
    """A disc that adds its start count every round."""
    return Tally(start, (plain_crown(start, [(start, rounds - 1)], start),))


def plain_hat(gauge: Gauge, start_range: tuple[int, int]) -> tuple[Crown, Even]:
    """A flat crown and even rounds below it."""
    return Crown(gauge, start_range=start_range), Even(gauge)


def side_counts(answer: Fit) -> set[int]:
    """Every side count among the candidates."""
    return {c.measures.side_count for c in answer.candidates}


def brims(answer: Fit) -> set[tuple[int, int | None, int, int]]:
    """``(side count, brim sectors, block of the rhythm, final count)`` of the candidates whose
    brims have one increase round in a block."""
    found = set()
    for candidate in answer.candidates:
        brim = candidate.tally.brim
        if brim is not None and brim.rhythm is not None and brim.rhythm.increases == 1:
            side = candidate.measures.side_count
            found.add((side, brim.sectors, brim.rhythm.block, brim.count_out))
    return found
