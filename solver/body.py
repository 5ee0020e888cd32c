"""From the crown's stop round (or the joined chain) to where the brim turns.

A piece's sections are cut into runs: even rounds, then a band (or the end). One nudge may stand
before each run, so that even rounds already have the count of the band they lead to. Rounds of
even sections and bands are derived: the cheapest that meet the depth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise, product

from . import price
from .judge import section_height_um
from .nudge import nudge_limit
from .piece import Band, Brim, Crown, Edging, Even, Gauge, Piece
from .rows import BandRow, band_rows
from .units import micrometres, per_mm


@dataclass(frozen=True, slots=True)
class Run:
    """Even sections, then the band they lead to; None at the end of the body."""

    evens: tuple[Even, ...]
    band: Band | None
    nudge_gauge: Gauge | None  # of the round before it; None where no nudge can stand


@dataclass(frozen=True, slots=True)
class Place:
    """A judged place: which own wish (or -1 for the head's), its count and circumference."""

    own: int
    count: int
    um: int
    wish_um: int | None
    decides: bool = True


@dataclass(frozen=True, slots=True)
class Body:
    """One way from ``count`` to ``count_out``: a nudge (0 = none) before each run, a row for
    each band. ``cost`` holds circumference, repeat widths, nudges and width steps."""

    count: int
    nudges: tuple[int, ...]
    bands: tuple[BandRow, ...]
    count_out: int
    side_count: int
    cost: int

    @property
    def order(self) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
        """The tally's own order."""
        return self.nudges, tuple((b.give, b.repeats) for b in self.bands)


@dataclass(frozen=True, slots=True)
class Rounds:
    """Derived rounds of every even section and band, and what their depth costs."""

    evens: tuple[int, ...]
    bands: tuple[int, ...]
    cost: int


class BodyPlan:
    """A piece cut into runs, and the derived rounds it remembers."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.crown = next((s for s in piece.sections if isinstance(s, Crown)), None)
        self.brim = next((s for s in piece.sections if isinstance(s, Brim)), None)
        self.edging = next((s for s in piece.sections if isinstance(s, Edging)), None)
        self.runs = tuple(_runs(piece, self.brim is not None or self.edging is not None))
        self._rows: dict[tuple[int, int], list[BandRow]] = {}
        self._steps: dict[tuple[tuple[int, int], ...], int] = {}
        self._rounds: dict[tuple[int, tuple[bool, ...]], Rounds | None] = {}

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

    # --- bodies --------------------------------------------------------------------------

    def bodies(self, count: int) -> Iterator[Body]:
        """Every allowed body from a count."""
        yield from self._extend(count, 0, count, (), (), ())

    def _extend(
        self,
        count: int,
        index: int,
        now: int,
        nudges: tuple[int, ...],
        bands: tuple[BandRow, ...],
        places: tuple[Place, ...],
    ) -> Iterator[Body]:
        if index == len(self.runs):
            yield self._finish(count, now, nudges, bands, places)
            return
        run = self.runs[index]
        for nudge in self._nudges(run, now):
            after, changed = now + nudge, (*nudges, nudge)
            here = self._run_places(run, after, nudge, places)
            if here is None:
                continue
            if run.band is None:
                yield from self._extend(count, index + 1, after, changed, bands, here)
                continue
            for row in self._band_rows(index, run.band, after):
                ends = (*here, *self._band_places(run.band, row))
                chosen = (*bands, row)
                yield from self._extend(count, index + 1, row.count_out, changed, chosen, ends)

    def _band_rows(self, index: int, band: Band, count: int) -> list[BandRow]:
        key = (index, count)
        if key not in self._rows:
            self._rows[key] = band_rows(self.piece, band, count, count)
        return self._rows[key]

    def _nudges(self, run: Run, count: int) -> range:
        if run.nudge_gauge is None:
            return range(1)
        limit = nudge_limit(self.piece, count)
        return range(-limit, limit + 1)

    def _run_places(
        self, run: Run, count: int, nudge: int, places: tuple[Place, ...]
    ) -> tuple[Place, ...] | None:
        found = list(places)
        for even in run.evens:
            um = micrometres(count * even.gauge.width_cm)
            found.append(self._place(even, count, um))
        if run.band is None and not run.evens and (nudge or not places):
            gauge = run.nudge_gauge or self.piece.sections[0].gauge
            place = self._place(None, count, micrometres(count * gauge.width_cm))
            found.append(replace(place, decides=not places))
        limit = micrometres(self.piece.limits.around_cm)
        for place in found[len(places) :]:
            if place.wish_um is not None and abs(place.um - place.wish_um) > limit:
                return None
        return tuple(found)

    def _place(self, section: Even | Band | None, count: int, um: int) -> Place:
        own = -1 if section is None or section.around_cm is None else id(section)
        wish = self.piece.around_cm if own == -1 or section is None else section.around_cm
        return Place(own, count, um, None if wish is None else micrometres(wish))

    def _band_places(self, band: Band, row: BandRow) -> Iterator[Place]:
        for count in (row.count_in, row.count_out):
            um = price.band_around_um(band, count, row.repeats, row.give)
            yield self._place(band, count, um)

    def _finish(
        self,
        count: int,
        now: int,
        nudges: tuple[int, ...],
        bands: tuple[BandRow, ...],
        places: tuple[Place, ...],
    ) -> Body:
        cost = self._around_cost(places) + sum(row.cost for row in bands)
        cost += sum(price.total(price.nudge_price(self.piece, n)) for n in nudges)
        cost += self._step_cost(bands)
        deciding = [p for p in places if p.decides]
        side = min(deciding, key=lambda p: p.um) if self.crown else places[0]
        return Body(count, nudges, bands, now, side.count, cost)

    def _around_cost(self, places: tuple[Place, ...]) -> int:
        wished = [p for p in places if p.wish_um is not None]
        shared = [p for p in wished if p.own == -1 and p.decides]
        total = 0
        if shared:
            least = min(shared, key=lambda p: p.um)
            total += abs(least.um - (least.wish_um or 0))
        for own in {p.own for p in wished} - {-1}:
            total += max(abs(p.um - (p.wish_um or 0)) for p in wished if p.own == own)
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
        steps = pairwise(widths)
        return sum(price.total(price.step_price(self.piece.prices, a, b)) for a, b in steps)

    # --- derived rounds ------------------------------------------------------------------

    def rounds(self, crown_rounds: int, nudged: tuple[bool, ...]) -> Rounds | None:
        """Cheapest rounds for a crown of so many rounds and nudges before these runs; None
        where no number of rounds is allowed."""
        key = (crown_rounds, nudged)
        if key not in self._rounds:
            self._rounds[key] = min(
                self._all_rounds(crown_rounds, nudged),
                key=lambda r: (r.cost, sum(r.evens), r.bands),
                default=None,
            )
        return self._rounds[key]

    def _all_rounds(self, crown_rounds: int, nudged: tuple[bool, ...]) -> Iterator[Rounds]:
        bands = [run.band for run in self.runs if run.band is not None]
        choices = [range(b.rounds[0], b.rounds[1] + 1, b.figure.rounds) for b in bands]
        for times in product(*choices):
            yield from self._with_evens(crown_rounds, nudged, times)

    def _with_evens(
        self, crown_rounds: int, nudged: tuple[bool, ...], bands: tuple[int, ...]
    ) -> Iterator[Rounds]:
        piece, apart = self.piece, self.piece.limits.nudge_apart
        limit = price.depth_limit_um(piece)
        for evens in even_splits([e for run in self.runs for e in run.evens]):
            depth, gaps = self._lay(crown_rounds, nudged, bands, evens)
            if piece.depth_cm is not None:
                miss = depth - micrometres(piece.depth_cm)
                if miss > limit:
                    return
                if miss < -limit:
                    continue
            if any(gap < apart for gap in gaps):
                continue
            cost = price.total(price.depth_price(piece, depth))
            yield Rounds(evens, bands, cost)
            if piece.depth_cm is None:
                return

    def _lay(
        self,
        crown_rounds: int,
        nudged: tuple[bool, ...],
        bands: tuple[int, ...],
        evens: tuple[int, ...],
    ) -> tuple[int, list[int]]:
        depth = 0
        if self.crown is not None:
            depth += micrometres(self.crown.hole_cm / 2)
            depth += crown_rounds * micrometres(self.crown.gauge.height_cm)
        even, band, since, gaps = iter(evens), iter(bands), -1, []
        for run, has_nudge in zip(self.runs, nudged, strict=True):
            if has_nudge and run.nudge_gauge is not None:
                depth += micrometres(run.nudge_gauge.height_cm)
                if since >= 0:
                    gaps.append(since + 1)
                since = 0
            worked = 0
            for section in run.evens:
                rounds = next(even)
                worked += rounds
                depth += section_height_um(section, rounds)
            if run.band is not None:
                rounds = next(band)
                worked += rounds
                depth += section_height_um(run.band, rounds)
            since = since + worked if since >= 0 else since
        if self.brim is None and self.edging is not None:
            depth += section_height_um(self.edging, self.edging.figure.rounds)
        return depth, gaps


MOST_ROUNDS = 400


def even_splits(evens: list[Even]) -> Iterator[tuple[int, ...]]:
    """Rounds of the even sections for 0, 1, 2 ... rounds over their least, shared out as evenly
    as may be, the first sections getting the odd ones."""
    free = [i for i, e in enumerate(evens) if e.rounds[1] is None or e.rounds[1] > e.rounds[0]]
    for extra in range(MOST_ROUNDS if free else 1):
        rounds = [e.rounds[0] for e in evens]
        for place, i in enumerate(free):
            rounds[i] += extra // len(free) + (place < extra % len(free))
        ends = [e.rounds[1] for e in evens]
        if any(end is not None and r > end for r, end in zip(rounds, ends, strict=True)):
            return
        yield tuple(rounds)


def _runs(piece: Piece, has_end: bool) -> Iterator[Run]:
    gauge: Gauge | None = None
    evens: list[Even] = []
    for section in piece.sections:
        if isinstance(section, Even):
            evens.append(section)
        elif isinstance(section, Band):
            yield Run(tuple(evens), section, gauge)
            evens, gauge = [], section.gauge
        elif isinstance(section, Crown):
            gauge = section.gauge
        else:
            break
    if evens or has_end:
        yield Run(tuple(evens), None, gauge)
    elif len(piece.sections) == 1 and isinstance(piece.sections[0], Crown):
        yield Run((), None, None)
