"""From the crown's stop round (or the joined chain) to where the brim turns.

Bodies come cheapest first, made only as far as somebody asks: a best-first search over the runs
whose bound never exceeds what a body will cost. Where in its run a nudge stands does not
distinguish designs; it is derived like a number of rounds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush
from itertools import pairwise

from . import price
from .depths import Depths, Kind, Rounds
from .nudge import nudge_limit
from .piece import Band, Brim, Crown, Edging, Even, Piece
from .rows import BandRow, band_rows
from .runs import Run, runs_of
from .units import micrometres, per_mm

HEARTBEAT = 500
HEADS = -1  # which wish a place is judged by: the head's, else the section's own


@dataclass(frozen=True, slots=True)
class Place:
    """A judged place: which own wish (or HEADS), its count and circumference."""

    own: int
    count: int
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


@dataclass(frozen=True, slots=True)
class _Part:
    """A body as far as some run."""

    count: int
    now: int
    nudges: tuple[int, ...] = ()
    marks: tuple[int, ...] = ()
    bands: tuple[BandRow, ...] = ()
    places: tuple[Place, ...] = ()
    cost: int = 0  # nudges and repeat widths


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
        self._steps: dict[tuple[tuple[int, int], ...], int] = {}

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
        first = self.piece.sections[1 if self.crown and len(self.piece.sections) > 1 else 0]
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
        heap: list[tuple[int, int, int, _Part | Body]] = []
        pushed = opened = 0
        for count in counts:
            heappush(heap, (self._floor, 0, pushed, _Part(count, count)))
            pushed += 1
        while heap:
            _, _, _, best = heappop(heap)
            opened += 1
            if opened % HEARTBEAT == 0:
                yield None
            if isinstance(best, Body):
                yield best
                continue
            for further in self._further(best, plain):
                cost = further.cost if isinstance(further, Body) else self._bound(further)
                runs = len(further.nudges)
                heappush(heap, (cost, -runs, pushed, further))
                pushed += 1

    def _further(self, part: _Part, plain: bool) -> Iterator[_Part | Body]:
        index = len(part.nudges)
        if index == len(self.runs):
            yield self._finish(part)
            return
        run = self.runs[index]
        for nudge, mark in self._nudges(run, part.now, plain, index):
            cost = part.cost + price.total(price.nudge_price(self.piece, nudge))
            places = self._run_places(run, part.now, nudge, mark, part.places)
            if places is None:
                continue
            now, nudges, marks = part.now + nudge, (*part.nudges, nudge), (*part.marks, mark)
            if run.band is None:
                yield _Part(part.count, now, nudges, marks, part.bands, places, cost)
                continue
            for row in self._band_rows(index, run.band, now):
                bands = (*part.bands, row)
                after = (*places, *self._band_places(run.band, row))
                out = row.count_out
                yield _Part(part.count, out, nudges, marks, bands, after, cost + row.cost)

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
        self, run: Run, before: int, nudge: int, mark: int, places: tuple[Place, ...]
    ) -> tuple[Place, ...] | None:
        """The places with those of a run's even sections; None if one is out of tolerance."""
        found = list(places)
        for j, even in enumerate(run.evens):
            count = before + nudge if nudge and mark <= j else before
            um = micrometres(count * even.gauge.width_cm)
            found.append(self._place(even, count, um))
        bare = nudge != 0 and mark == len(run.evens)
        if run.end and (bare or not found):
            gauge = run.nudge_gauge(mark) if bare else self.piece.sections[0].gauge
            count = before + nudge
            place = self._place(None, count, micrometres(count * gauge.width_cm))
            found.append(replace(place, decides=not found))
        limit = micrometres(self.piece.limits.around_cm)
        for place in found[len(places) :]:
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
        cost = part.cost + self._around_cost(part.places, whole=True) + self._step_cost(part.bands)
        places = part.places
        deciding = [p for p in places if p.decides]
        side = min(deciding, key=lambda p: p.um) if self.crown else places[0]
        return Body(part.count, part.nudges, part.marks, part.bands, part.now, side.count, cost)

    def _around_cost(self, places: tuple[Place, ...], *, whole: bool) -> int:
        """Price of the circumference; of a part (not ``whole``) what it will be at least: a
        place narrower than the wish stays, a wider one may be followed by a narrower."""
        total = 0
        shared = [p for p in places if p.own == HEADS and p.decides and p.wish_um is not None]
        if shared:
            first = min(shared, key=lambda p: p.um) if self.crown else shared[0]
            miss = first.um - (first.wish_um or 0)
            total += abs(miss) if whole or not self.crown else max(0, -miss)
        for own in {p.own for p in places if p.wish_um is not None} - {HEADS}:
            total += max(abs(p.um - (p.wish_um or 0)) for p in places if p.own == own)
        return per_mm(self.piece.prices.circumference, total)

    def _step_cost(self, bands: tuple[BandRow, ...]) -> int:
        key = tuple((row.per_repeat[0], row.give) for row in bands)
        if key not in self._steps:
            self._steps[key] = self._find_step_cost(bands)
        return self._steps[key]

    def _find_step_cost(self, bands: tuple[BandRow, ...]) -> int:
        rows = iter(bands)
        widths = []
        for section in self.piece.sections:
            if isinstance(section, Band):
                row = next(rows)
                widths.append(price.band_width_cm(section, row.per_repeat[0], row.give))
            else:
                widths.append(section.gauge.width_cm)
        return self._steps_of(widths)

    def _steps_of(self, widths: Iterable[float]) -> int:
        prices = self.piece.prices
        return sum(price.total(price.step_price(prices, a, b)) for a, b in pairwise(widths))
