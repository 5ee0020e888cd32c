"""From the crown's stop round (or the joined chain) to where the brim turns.

Bodies come cheapest first, made only as far as somebody asks: a best-first search over the runs
whose bound never exceeds what a body will cost. Where in its run a nudge stands does not
distinguish designs; it is derived like a number of rounds.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from itertools import pairwise
from typing import NamedTuple

from . import price
from .depths import Depths, Kind, Rounds
from .nudge import nudge_limit
from .piece import Band, Brim, Crown, Edging, Even, Piece, side_section
from .rows import BandRow, band_rows
from .runs import Run, runs_of
from .units import micrometres, per_mm

HEARTBEAT = 500
HEADS = -1  # which wish a place is judged by: the head's, else the section's own


class Place(NamedTuple):
    """A judged place: which own wish (or HEADS), its count and circumference."""

    own: int
    stitches: int
    um: int
    wish_um: int | None
    decides: bool = True


@dataclass(frozen=True, slots=True)
class Body:
    """One way from ``count`` to ``count_out``: a nudge (0 = none) in each run, at the spots
    ``marks`` (-1 = none), a row for each band. ``cost`` holds circumference, repeat widths,
    nudges and width steps."""

    count: int
    nudges: tuple[int, ...]
    marks: tuple[int, ...]
    bands: tuple[BandRow, ...]
    count_out: int
    side_count: int
    cost: int

    @property
    def order(self) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
        """The tally's own order; also what makes a body distinct."""
        return self.nudges, tuple((b.give, b.repeats) for b in self.bands)


class _Part(NamedTuple):
    """A body as far as some run."""

    begun: int  # the count it began on
    now: int
    nudges: tuple[int, ...] = ()
    marks: tuple[int, ...] = ()
    bands: tuple[BandRow, ...] = ()
    places: tuple[Place, ...] = ()
    cost: int = 0  # nudges and repeat widths


class _Step(NamedTuple):
    """One way through a run from a count: what it adds to a part, and what that costs. The same
    from every part that comes to the run with that count."""

    nudge: int
    mark: int
    cost: int
    places: tuple[Place, ...]
    band: tuple[BandRow, ...]  # its row, or none
    now: int


class BodyPlan:
    """A piece cut into runs, and the tables it remembers."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.crown = next((s for s in piece.sections if isinstance(s, Crown)), None)
        self.brim = next((s for s in piece.sections if isinstance(s, Brim)), None)
        self.edging = next((s for s in piece.sections if isinstance(s, Edging)), None)
        self.runs = runs_of(piece)
        self._depths = Depths(
            piece, self.crown, self.runs, self.edging if self.brim is None else None
        )
        self._rows: dict[tuple[int, int], list[BandRow]] = {}
        self._width_steps: dict[tuple[tuple[int, int], ...], int] = {}
        self._ways_on: dict[tuple[int, int, bool, bool], list[_Step]] = {}
        self._owns = any(
            isinstance(s, Even | Band) and s.around_cm is not None for s in piece.sections
        )

    def rounds(self, crown_rounds: int, marks: tuple[int, ...]) -> Rounds | None:
        """Derived rounds for a crown of so many rounds and nudges at these spots."""
        return self._depths.rounds(crown_rounds, marks)

    def rounds_by_kind(
        self, crown_rounds: int, marks: tuple[int, ...], bands: bool, sides: bool
    ) -> dict[Kind, Rounds]:
        """The cheapest derived rounds of each kind (``Depths.each_kind``)."""
        return self._depths.each_kind(crown_rounds, marks, bands, sides)

    @cached_property
    def window(self) -> tuple[int, int]:
        """Counts that the first section after the start may have: inclusive."""
        first = side_section(self.piece)
        around = self.piece.around_cm
        width = (self.crown or first).gauge.width_cm
        if isinstance(first, Even | Band):
            width = first.gauge.width_cm
            around = first.around_cm if first.around_cm is not None else around
        if isinstance(first, Band) and first.measured_repeat_cm is not None:
            widths = [
                price.band_width_cm(first, first.figure.at(t)[0], t)
                for t in range(first.give_range[0], first.give_range[1] + 1)
                if first.figure.at(t)[0] > 0
            ]
            return self._counts(around, max(widths), min(widths))
        return self._counts(around, width, width)

    def _counts(self, around: float | None, widest: float, narrowest: float) -> tuple[int, int]:
        if around is None:
            return 1, 400
        limit = self.piece.limits.around_cm
        return max(1, int((around - limit) / widest) - 1), int((around + limit) / narrowest) + 2

    @cached_property
    def stop_window(self) -> tuple[int, int]:
        """Counts on which the crown may stop: the window less the largest nudge."""
        low, high = self.window
        reach = self.piece.limits.nudge_stitches
        return max(3, low - reach), high + reach

    # --- bodies, cheapest first ----------------------------------------------------------

    def bodies(self, counts: Iterable[int], *, plain: bool = False) -> Iterator[Body | None]:
        """Every allowed body from these counts, cheapest first; now and then None, so that whoever
        asks can look at the clock. ``plain``: only those with no nudge but one right after the
        crown."""
        heap: list[tuple[int, int, int, int, int, _Part | Body]] = []
        pushed = itertools.count()

        def push(bound: int, item: _Part | Body, base: int = 0, at: int = 0) -> None:
            heappush(heap, (bound, -len(item.nudges), next(pushed), base, at, item))

        for count in counts:
            push(self._floor, _Part(count, count), self._floor)
        for opened in itertools.count(1):
            if not heap:
                return
            _, _, _, base, at, item = heappop(heap)
            if opened % HEARTBEAT == 0:
                yield None
            if isinstance(item, Body):
                yield item
                continue
            if len(item.nudges) == len(self.runs):
                body = self._finish(item)
                push(body.cost, body)
                continue
            # the cheapest ways on now, the others when their turn comes
            steps = self._steps_from(len(item.nudges), item.now, not item.places, plain)
            least = steps[at].cost if steps else 0
            while at < len(steps) and steps[at].cost == least:
                further = self._with_step(item, steps[at])
                bound = self._bound(further)
                push(bound, further, bound)
                at += 1
            if at < len(steps):
                push(base + steps[at].cost, item, base, at)

    def reached(self, counts: Iterable[int]) -> Iterator[Body]:
        """Of all bodies that are the same to what stands before, between and after them, one:
        without its bands, unpriced, in no order."""
        parts: list[tuple[int, tuple[int, ...], tuple[int, ...], int, bool]]
        parts = [(count, (), (), count, True) for count in counts]
        seen = set(parts)
        while parts:
            begun, nudges, marks, now, first = parts.pop()
            if len(marks) == len(self.runs):
                yield Body(begun, nudges, marks, (), now, now, 0)
                continue
            for step in self._steps_from(len(marks), now, first, False):
                # only a nudge right after a crown is told from others: it may be a part round
                told = nudges or ((step.nudge if step.mark == 0 else 0),)
                fresh = first and not step.places
                part = (begun, told, (*marks, step.mark), step.now, fresh)
                if part not in seen:
                    seen.add(part)
                    parts.append(part)

    def _steps_from(self, index: int, now: int, first: bool, plain: bool) -> list[_Step]:
        """Every way through a run from a count, the cheapest first."""
        key = (index, now, first, plain)
        if key not in self._ways_on:
            self._ways_on[key] = sorted(self._steps(*key), key=lambda step: step.cost)
        return self._ways_on[key]

    def _with_step(self, part: _Part, step: _Step) -> _Part:
        return _Part(
            part.begun,
            step.now,
            (*part.nudges, step.nudge),
            (*part.marks, step.mark),
            part.bands + step.band,
            part.places + step.places,
            part.cost + step.cost,
        )

    def _steps(self, index: int, now: int, first: bool, plain: bool) -> Iterator[_Step]:
        """Every way through a run; ``first``: nothing was judged before it."""
        run = self.runs[index]
        for nudge, mark in self._nudges(run, now, plain, index):
            places = self._run_places(run, now, nudge, mark, first)
            if places is None:
                continue
            cost = price.total(price.nudge_price(self.piece, nudge))
            if run.band is None:
                yield _Step(nudge, mark, cost, places, (), now + nudge)
                continue
            for row in self._band_rows(index, run.band, now + nudge):
                after = (*places, *self._band_places(run.band, row))
                yield _Step(nudge, mark, cost + row.cost, after, (row,), row.count_out)

    def _nudges(self, run: Run, count: int, plain: bool, index: int) -> Iterator[tuple[int, int]]:
        yield 0, -1
        spots = run.spots
        if plain:
            spots = (0,) if index == 0 and 0 in spots else ()
        limit = nudge_limit(self.piece, count) if spots else 0
        for nudge in range(-limit, limit + 1):
            if nudge:
                yield from ((nudge, spot) for spot in spots)

    def _band_rows(self, index: int, band: Band, count: int) -> list[BandRow]:
        key = (index, count)
        if key not in self._rows:
            self._rows[key] = band_rows(self.piece, band, count, count)
        return self._rows[key]

    def _run_places(
        self, run: Run, before: int, nudge: int, mark: int, first: bool
    ) -> tuple[Place, ...] | None:
        """The places of a run's even sections; None if one is out of tolerance."""
        found = list[Place]()
        for j, even in enumerate(run.evens):
            count = before + nudge if nudge and mark <= j else before
            um = micrometres(count * even.gauge.width_cm)
            found.append(self._place(even, count, um))
        bare = nudge != 0 and mark == len(run.evens)
        alone = first and not found
        if run.end and (bare or alone):
            gauge = run.nudge_gauge(mark) if bare else self.piece.sections[0].gauge
            count = before + nudge
            place = self._place(None, count, micrometres(count * gauge.width_cm))
            found.append(place._replace(decides=alone))
        limit = micrometres(self.piece.limits.around_cm)
        for place in found:
            if place.wish_um is not None and abs(place.um - place.wish_um) > limit:
                return None
        return tuple(found)

    def _place(self, section: Even | Band | None, count: int, um: int) -> Place:
        own = HEADS if section is None or section.around_cm is None else id(section)
        wish = self.piece.around_cm if own == HEADS or section is None else section.around_cm
        return Place(own, count, um, None if wish is None else micrometres(wish))

    def _band_places(self, band: Band, row: BandRow) -> Iterator[Place]:
        for count in (row.count_in, row.count_out):
            um = price.band_around_um(band, count, row.repeats, row.give)
            yield self._place(band, count, um)

    # --- what a body costs ---------------------------------------------------------------

    @cached_property
    def _floor(self) -> int:
        """What every body costs at least: width steps, where no choice changes them."""
        fixed = all(
            not isinstance(s, Band) or s.measured_repeat_cm is None for s in self.piece.sections
        )
        if not fixed:
            return 0
        widths = (section.gauge.width_cm for section in self.piece.sections)
        return self._steps_of(widths)

    def _bound(self, part: _Part) -> int:
        """Never more than any body that goes on from here will cost."""
        return part.cost + self._floor + self._around_cost(part.places, whole=False)

    def _finish(self, part: _Part) -> Body:
        cost = part.cost + self._around_cost(part.places, whole=True)
        cost += self.step_cost(tuple((row.per_repeat[0], row.give) for row in part.bands))
        places = part.places
        deciding = [p for p in places if p.decides]
        side = min(deciding, key=lambda p: p.um) if self.crown else places[0]
        return Body(part.begun, part.nudges, part.marks, part.bands, part.now, side.stitches, cost)

    def _around_cost(self, places: tuple[Place, ...], *, whole: bool) -> int:
        """Price of the circumference; of a part (not ``whole``) what it will be at least: a
        place narrower than the wish stays, a wider one may be followed by a narrower."""
        total, crown = 0, self.crown is not None
        first: Place | None = None
        for place in places:
            if place.own == HEADS and place.decides and place.wish_um is not None:
                if first is None or place.um < first.um:
                    first = place
                if not crown:
                    break
        if first is not None:
            miss = first.um - (first.wish_um or 0)
            total += abs(miss) if whole or not crown else max(0, -miss)
        if self._owns:
            for own in {p.own for p in places if p.wish_um is not None} - {HEADS}:
                total += max(abs(p.um - (p.wish_um or 0)) for p in places if p.own == own)
        return per_mm(self.piece.prices.circumference, total)

    def step_cost(self, bands: tuple[tuple[int, int], ...]) -> int:
        """Price of the width steps between sections (1e-6 mm), the repeat and the give of each
        band being these."""
        if bands not in self._width_steps:
            self._width_steps[bands] = self._find_step_cost(bands)
        return self._width_steps[bands]

    def _find_step_cost(self, bands: tuple[tuple[int, int], ...]) -> int:
        repeats = iter(bands)
        widths = []
        for section in self.piece.sections:
            if isinstance(section, Band):
                widths.append(price.band_width_cm(section, *next(repeats)))
            else:
                widths.append(section.gauge.width_cm)
        return self._steps_of(widths)

    def _steps_of(self, widths: Iterable[float]) -> int:
        prices = self.piece.prices
        return sum(price.total(price.step_price(prices, a, b)) for a, b in pairwise(widths))
