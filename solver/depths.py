"""Rounds that are derived: of even sections and bands, the cheapest that meet the depth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product

from . import price
from .judge import section_height_um
from .piece import Crown, Edging, Piece
from .runs import Run
from .units import micrometres

MOST_ROUNDS = 400


Ranges = tuple[tuple[int, int | None], ...]


@lru_cache(maxsize=1024)
def shared_out(ranges: Ranges, extra: int) -> tuple[int, ...] | None:
    """Rounds of even sections, ``extra`` in all over their least, as evenly as their ranges
    allow, the first sections getting the odd ones; None where they hold no more."""
    rounds = [low for low, _ in ranges]
    while extra:
        free = [i for i, (_, high) in enumerate(ranges) if high is None or rounds[i] < high]
        if not free:
            return None
        room = [high - rounds[i] for i in free if (high := ranges[i][1]) is not None]
        each = max(1, min([extra // len(free), *room]))
        for i in free[:extra]:
            rounds[i] += each
        extra -= each * min(extra, len(free))
    return tuple(rounds)


def every_split(ranges: Ranges, extra: int) -> Iterator[tuple[int, ...]]:
    """Every way to share ``extra`` rounds over the least of even sections."""
    if len(ranges) < 2:
        split = shared_out(ranges, extra)
        if split is not None:
            yield split
        return
    low, high = ranges[0]
    for more in range((extra if high is None else min(extra, high - low)) + 1):
        for others in every_split(ranges[1:], extra - more):
            yield (low + more, *others)


def unevenness(ranges: Ranges, rounds: tuple[int, ...]) -> tuple[int, tuple[int, ...]]:
    """How far a split is from an even one; of equals the first sections get the odd ones."""
    extras = [r - low for r, (low, _) in zip(rounds, ranges, strict=True)]
    return max(extras, default=0) - min(extras, default=0), tuple(-r for r in rounds)


@dataclass(frozen=True, slots=True)
class Rounds:
    """Derived rounds of every even section and band, and what their depth costs."""

    evens: tuple[int, ...]
    bands: tuple[int, ...]
    cost: int


Kind = tuple[tuple[int, ...] | None, int | None]  # rounds of the bands, odd or even before them


class Depths:
    """The derived rounds of a piece, each found once.

    ``edging`` is given where the depth goes on to the edge, for want of a brim.
    """

    def __init__(
        self, piece: Piece, crown: Crown | None, runs: tuple[Run, ...], edging: Edging | None
    ) -> None:
        self.piece, self.crown, self.runs, self.edging = piece, crown, runs, edging
        evens = [even for run in runs for even in run.evens]
        self.ranges: Ranges = tuple(even.rounds for even in evens)
        free = [e for e in evens if e.rounds[1] is None or e.rounds[1] > e.rounds[0]]
        self._heights = [section_height_um(even, 1) for even in free]
        self._least = tuple(low for low, _ in self.ranges)
        self._wish = None if piece.depth_cm is None else micrometres(piece.depth_cm)
        self._limit = price.depth_limit_um(piece)
        self._hole = self._crown_height = 0
        if crown is not None:
            self._hole = micrometres(crown.hole_cm / 2)
            self._crown_height = micrometres(crown.gauge.height_cm)
        self._laid = _laid(runs, edging)
        self.uniform = len({micrometres(even.gauge.height_cm) for even in free}) < 2
        self._rounds: dict[tuple[int, tuple[int, ...]], Rounds | None] = {}

    def rounds(self, crown_rounds: int, marks: tuple[int, ...]) -> Rounds | None:
        """Cheapest rounds for a crown of so many rounds and nudges at these spots (-1 = none in
        that run); None where no number of rounds is allowed."""
        key = (crown_rounds, marks)
        if key not in self._rounds:
            self._rounds[key] = min(
                self._all_rounds(crown_rounds, marks),
                key=self._key,
                default=None,
            )
        return self._rounds[key]

    def each_kind(
        self, crown_rounds: int, marks: tuple[int, ...], bands: bool, sides: bool
    ) -> dict[Kind, Rounds]:
        """The cheapest rounds for each choice of the bands' rounds (with ``bands``) and, with
        ``sides``, for an odd and an even number of rounds before the first band."""
        found: dict[Kind, Rounds] = {}
        for rounds in self._all_rounds(crown_rounds, marks, every=sides):
            parity = self._parity(crown_rounds, marks, rounds) if sides else None
            kind = (rounds.bands if bands else None, parity)
            if kind not in found or self._key(rounds) < self._key(found[kind]):
                found[kind] = rounds
        return found

    def _key(self, rounds: Rounds) -> tuple[object, ...]:
        uneven = unevenness(self.ranges, rounds.evens)
        return rounds.cost, sum(rounds.evens), rounds.bands, uneven

    def _parity(self, crown_rounds: int, marks: tuple[int, ...], rounds: Rounds) -> int | None:
        """Whether an odd or an even number of rounds comes before the first band."""
        evens = number = 0
        for run, mark in zip(self.runs, marks, strict=True):
            evens += len(run.evens)
            number += mark >= 0
            if run.band is not None:
                return (crown_rounds + number + sum(rounds.evens[:evens])) % 2
        return None

    def _all_rounds(
        self, crown_rounds: int, marks: tuple[int, ...], every: bool = False
    ) -> Iterator[Rounds]:
        bands = [run.band for run in self.runs if run.band is not None]
        choices = [range(b.rounds[0], b.rounds[1] + 1, b.figure.rounds) for b in bands]
        for times in product(*choices):
            yield from self._with_evens(crown_rounds, marks, times, every)

    def _with_evens(
        self, crown_rounds: int, marks: tuple[int, ...], bands: tuple[int, ...], every: bool
    ) -> Iterator[Rounds]:
        """The allowed numbers of even rounds: for each total the even split or, where nudges
        would stand too near or heights differ (or ``every`` is asked for), every split."""
        piece, limit, wish = self.piece, self._limit, self._wish
        enough = MOST_ROUNDS
        for extra in range(self._fewest(crown_rounds, marks, bands), MOST_ROUNDS):
            split = shared_out(self.ranges, extra)
            if split is None:
                return
            within = [self._worked(crown_rounds, marks, bands, split)]
            if every or not self.uniform or within[0][2] < piece.limits.nudge_apart:
                splits = every_split(self.ranges, extra)
                within = [self._worked(crown_rounds, marks, bands, each) for each in splits]
            if wish is not None:
                if all(depth - wish > limit for _, depth, _ in within):
                    return
                within = [each for each in within if abs(each[1] - wish) <= limit]
            within = [each for each in within if each[2] >= piece.limits.nudge_apart]
            for evens, depth, _ in within:
                yield Rounds(evens, bands, price.total(price.depth_price(piece, depth)))
            if wish is None and within:
                enough = min(enough, extra + (piece.limits.nudge_apart + 2 if every else 0))
            if extra >= enough:
                return

    def _fewest(self, crown_rounds: int, marks: tuple[int, ...], bands: tuple[int, ...]) -> int:
        """Even rounds over the least that any depth allowed takes: those below are too shallow,
        however they are shared out."""
        free = [high for high in self._heights if high > 0]
        if self._wish is None or not free:
            return 0
        _, depth, _ = self._worked(crown_rounds, marks, bands, self._least)
        short = self._wish - self._limit - depth
        return max(0, -(-short // max(free)))

    def _worked(
        self,
        crown_rounds: int,
        marks: tuple[int, ...],
        bands: tuple[int, ...],
        evens: tuple[int, ...],
    ) -> tuple[tuple[int, ...], int, int]:
        """A split, its depth, and how many rounds apart the nearest nudges stand."""
        key = (marks, bands, evens)
        if key not in self._laid:
            self._laid[key] = _lay(self.runs, self.edging, *key)
        depth, apart = self._laid[key]
        return evens, self._hole + crown_rounds * self._crown_height + depth, apart


Laid = dict[tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]], tuple[int, int]]


@lru_cache(maxsize=8)
def _laid(runs: tuple[Run, ...], edging: Edging | None) -> Laid:
    """What ``_lay`` found for these runs, by its other arguments: sizes have it in common."""
    return {}


def _lay(
    runs: tuple[Run, ...],
    edging: Edging | None,
    marks: tuple[int, ...],
    bands: tuple[int, ...],
    evens: tuple[int, ...],
) -> tuple[int, int]:
    """The depth below the crown, and how many rounds apart the nearest nudges stand."""
    depth, nudged_at, number = 0, list[int](), 0
    even, band = iter(evens), iter(bands)
    for run, mark in zip(runs, marks, strict=True):
        for spot in range(len(run.evens) + 1):
            if spot == mark:
                depth += micrometres(run.nudge_gauge(spot).height_cm)
                number += 1
                nudged_at.append(number)
            if spot < len(run.evens):
                rounds = next(even)
                number += rounds
                depth += section_height_um(run.evens[spot], rounds)
        if run.band is not None:
            rounds = next(band)
            number += rounds
            depth += section_height_um(run.band, rounds)
    if edging is not None:
        depth += section_height_um(edging, edging.figure.rounds)
    return depth, min((b - a for a, b in pairwise(nudged_at)), default=MOST_ROUNDS)
