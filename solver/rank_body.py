"""The part between crown and brim of one piece, for all counts at once: nudges, band, depth.

A piece of at most one band has at most two runs, so a design has up to two nudges.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from . import price
from .body import BodyPlan
from .depths import MOST_ROUNDS
from .judge import section_height_um
from .lattice import NEVER, Array, Counts, Fits
from .piece import Band
from .rows import repeat_allowed
from .units import micrometres, per_mm

if TYPE_CHECKING:
    from .rank_score import CrownScore


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the one nudge stands: in which run, before how many of its even sections."""

    run: int
    mark: int


class BodyScore:
    """The bodies of a piece: ``rows`` is in how many ways the band closes within the
    tolerances."""

    def __init__(self, plan: BodyPlan, fits: Fits, counts: Counts) -> None:
        self.plan, self.piece, self.counts = plan, plan.piece, counts
        piece = plan.piece
        self.band = next((s for s in piece.sections if isinstance(s, Band)), None)
        self.wish = micrometres(piece.around_cm or 0.0)
        self.limit = micrometres(piece.limits.around_cm)
        self.reach = piece.limits.nudge_stitches
        evens = [even for run in self.plan.runs for even in run.evens]
        self.even = evens[0].gauge if evens else None
        ranges = [even.rounds for even in evens]
        self.least = sum(low for low, _ in ranges)
        highs = [high for _, high in ranges if high is not None]
        self.most = sum(highs) if len(highs) == len(ranges) else self.least + MOST_ROUNDS - 1
        self._rows(fits)

    # --- the rows: counts on which the band closes -------------------------------------------

    def _rows(self, fits: Fits) -> None:
        """Keep the rows of this piece's window whose band is near the wish, and price them."""
        import numpy as np

        beyond = 0 if self.band is None else 2 * self.reach
        low, high = max(1, self.plan.window[0] - beyond), self.plan.window[1] + beyond
        part = slice(*fits.first[[low - fits.low, high - fits.low + 1]])
        count, out = fits.count[part], fits.out[part]
        give, repeat, repeats = fits.give[part], fits.repeat[part], fits.repeats[part]
        if self.band is not None:
            first, last = (self._band_um(self.band, n, repeats, give) for n in (count, out))
            near = self._near(first) & self._near(last)
            count, out, first, last = count[near], out[near], first[near], last[near]
            costs, keep = self._band_costs(self.band, repeat[near], give[near])
            self.first_um, self.last_um = first[keep], last[keep]
            self.count, self.out, self.row_cost = count[keep], out[keep], costs[keep]
        else:
            self.count, self.out = count, out
            self.row_cost = np.full(len(count), self.plan.step_cost(()), dtype=np.int64)
        self.rows = len(self.count)
        if self.rows:
            least, most = self.plan.stop_window
            self.lowest_crown = max(least, int(self.count.min()) - self.reach)
            self.highest_crown = min(most, int(self.count.max()) + self.reach)
            self.lowest_end = max(1, int(self.out.min()) - self.reach)
            self.highest_end = int(self.out.max()) + self.reach
            if self.lowest_crown > self.highest_crown:
                self.rows = 0

    def _near(self, um: Array) -> Array:
        return abs(um - self.wish) <= self.limit

    def _band_um(self, band: Band, count: Array, repeats: Array, give: Array) -> Array:
        """price.band_around_um of many."""
        import numpy as np

        width = band.gauge.width_cm
        if band.measured_repeat_cm is None:
            return np.rint(count * width * 10_000).astype(np.int64)
        repeat = band.measured_repeat_cm + (give - band.measured_give) * width
        around = (repeats * repeat + band.remainder * width) * 10_000
        return np.rint(around).astype(np.int64)

    def _band_costs(self, band: Band, repeat: Array, give: Array) -> tuple[Array, Array]:
        """Width of a repeat and width steps of every row, and whether the width is allowed."""
        import numpy as np

        # unless its repeat was measured, a band is as wide whatever its repeat
        steps = self.plan.step_cost(((1, 0),)) if band.measured_repeat_cm is None else None
        keys = (repeat * 1000 + give).tolist()
        known: dict[int, tuple[int, bool]] = {}
        for key, takes, t in zip(keys, repeat.tolist(), give.tolist(), strict=True):
            if key in known:
                continue
            cost = price.total(price.band_price(band, self.piece.prices, takes))
            more = steps if steps is not None else self.plan.step_cost(((takes, t),))
            known[key] = (cost + more, repeat_allowed(self.piece, band, takes))
        found = [known[key] for key in keys]
        costs = np.array([cost for cost, _ in found], dtype=np.int64)
        return costs, np.array([allowed for _, allowed in found], dtype=bool)

    # --- depth ---------------------------------------------------------------------------

    def depth_costs(self, crowns: CrownScore, nudge_um: int) -> Array:
        """The cheapest number of even rounds for every crown, where nudges add ``nudge_um``;
        NEVER where none is within tolerance."""
        import numpy as np

        best = np.full(len(crowns.rounds), NEVER)
        if self.piece.depth_cm is None:
            return np.zeros_like(best)
        wish, limit = micrometres(self.piece.depth_cm), price.depth_limit_um(self.piece)
        each = micrometres(self.even.height_cm) if self.even is not None else 0
        for fixed in self._fixed_heights():
            deep = fixed + nudge_um + crowns.rounds * self._crown_um()
            first = np.zeros_like(deep) if not each else (wish - deep) // each
            for more in (0, 1) if each else (0,):
                rounds = np.minimum(np.maximum(first + more, self.least), self.most)
                off = np.abs(deep + rounds * each - wish)
                costs = round(self.piece.prices.depth * 1000) * off
                best = np.where((off <= limit) & (costs < best), costs, best)
        return best

    def _crown_um(self) -> int:
        return micrometres(self.piece.sections[0].gauge.height_cm)

    def _fixed_heights(self) -> Iterator[int]:
        """Height of all but crown rounds, nudges and even rounds, for each number of rounds the
        band may have."""
        hole = micrometres(self.plan.crown.hole_cm / 2) if self.plan.crown else 0
        edging = self.plan.edging
        if edging is not None and self.plan.brim is None:
            hole += section_height_um(edging, edging.figure.rounds)
        if self.band is None:
            yield hole
            return
        low, high = self.band.rounds
        for rounds in range(low, high + 1, self.band.figure.rounds):
            yield hole + section_height_um(self.band, rounds)

    # --- designs -------------------------------------------------------------------------

    def best(self, crowns: CrownScore, ends: Array) -> tuple[int, int]:
        """The cheapest design, and a bound of those left out (NEVER where none was): designs of
        two nudges that could stand too near each other."""
        best = self._cheapest(crowns, ends, None, None)
        if self.reach < 1:
            return best, NEVER
        each = int(self.counts.nudge_cost[1])
        floor, crown, end = self._floors(crowns, ends)
        first = [Spot(0, mark) for mark in self._marks(0)]
        second = [Spot(1, mark) for mark in self._marks(1)]
        for spot in first:
            if int((floor + end).min()) + int(crowns.cost.min(initial=NEVER)) + each < best:
                best = min(best, self._cheapest(crowns, ends, spot, None))
        for spot in second:
            if int((floor + crown).min()) + int(ends.min()) + each < best:
                best = min(best, self._cheapest(crowns, ends, None, spot))
        most = int(floor.min() + ends.min() + crowns.cost.min(initial=NEVER)) + 2 * each
        if not first or not second or most >= best:
            return best, NEVER
        bound = self._bound(crowns, ends, floor)
        if bound >= best or not self._far_apart():
            return best, bound
        for one in first:
            for other in second:
                best = min(best, self._cheapest(crowns, ends, one, other))
        return best, NEVER

    def _floors(self, crowns: CrownScore, ends: Array) -> tuple[Array, Array, Array]:
        """What every row costs at least: itself, its crown and its end where no nudge stands
        between."""
        import numpy as np

        floor = self.row_cost
        if self.band is not None:  # the narrowest place decides
            short = np.maximum(0, self.wish - np.minimum(self.first_um, self.last_um))
            floor = floor + per_mm(self.piece.prices.circumference, 1) * short
        crown = _looked_up(crowns.by_count(crowns.cost), self.count - crowns.low)
        return floor, crown, _looked_up(ends, self.out - self.lowest_end)

    def _far_apart(self) -> bool:
        """Whether the band alone keeps a nudge before it from one after it."""
        return self.band is not None and self.band.rounds[0] >= self.piece.limits.nudge_apart - 1

    def _marks(self, index: int) -> list[int]:
        """The nudge's spots in a run; of those between its even sections one stands for all."""
        if index >= len(self.plan.runs):
            return []
        run = self.plan.runs[index]
        middle = [s for s in run.spots if 0 < s < len(run.evens)][:1]
        return sorted({*(s for s in run.spots if s in (0, len(run.evens))), *middle})

    def _cheapest(
        self, crowns: CrownScore, ends: Array, one: Spot | None, other: Spot | None
    ) -> int:
        """The cheapest design with nudges at just these spots, the first of the first run.

        Arrays have an axis for the rows, one for the first nudge, one for the second.
        """
        import numpy as np

        before, after = self._nudges(one), self._nudges(other)
        first = self.count[:, None, None] - before[None, :, None]
        last = self.out[:, None, None] + after[None, None, :]
        around, near = self._around(first, last, one, other)
        if one is not None:
            near = near & (abs(before)[None, :, None] <= self._limits(first))
        if other is not None:
            near = near & (abs(after) <= self._limits(self.out)[:, None])[:, None, :]
        if not near.any():
            return NEVER
        height = sum(self._height(spot) for spot in (one, other) if spot is not None)
        tables = self._tables(crowns, height, before, one)
        place = first - crowns.low
        inside = (place >= 0) & (place < tables.shape[1])
        start = tables[np.arange(len(before))[None, :, None], np.where(inside, place, 0)]
        costs = around + np.where(near & inside, start, NEVER) + self.row_cost[:, None, None]
        costs = costs + self.counts.nudge_cost[abs(before)][None, :, None]
        costs = costs + self.counts.nudge_cost[abs(after)]
        costs = costs + _looked_up(ends, last - self.lowest_end)
        return min(NEVER, int(costs.min()))

    def _nudges(self, spot: Spot | None) -> Array:
        """Every nudge that a spot may have; just 0 where there is none."""
        import numpy as np

        if spot is None:
            return np.zeros(1, dtype=np.int64)
        return np.array([n for n in range(-self.reach, self.reach + 1) if n], dtype=np.int64)

    def _limits(self, count: Array) -> Array:
        """The largest nudge on each count; none on counts below 0."""
        import numpy as np

        return self.counts.nudge[np.maximum(count, 0)]

    def _height(self, spot: Spot) -> int:
        return micrometres(self.plan.runs[spot.run].nudge_gauge(spot.mark).height_cm)

    def _tables(self, crowns: CrownScore, height: int, nudges: Array, spot: Spot | None) -> Array:
        """The cheapest crown by count, a row for each nudge of the first run: right after the
        crown, what a part round could add is no nudge."""
        import numpy as np

        costs = crowns.cost + self._depths(crowns, height)
        if spot is None or spot.mark != 0:
            every = crowns.by_count(costs)
            return np.broadcast_to(every, (len(nudges), len(every)))
        more = np.maximum(nudges, 1)[:, None]
        part = (nudges[:, None] > 1) & (crowns.plain > more) & (crowns.count % more == 0)
        return crowns.by_count(np.where(part, NEVER, costs))

    def _depths(self, crowns: CrownScore, height: int) -> Array:
        if height not in crowns.depths:
            crowns.depths[height] = self.depth_costs(crowns, height)
        return crowns.depths[height]

    def _around(
        self, first: Array, last: Array, one: Spot | None, other: Spot | None
    ) -> tuple[Array, Array]:
        """What the circumference costs at the narrowest place, and whether all places are near
        the wish."""
        import numpy as np

        deciding, bare = self._places(first, last, one, other)
        narrowest = deciding[0]
        near = self._near(narrowest)
        for um in deciding[1:]:
            near = near & self._near(um)
            narrowest = np.minimum(narrowest, um)
        for um in bare:
            near = near & self._near(um)
        return per_mm(self.piece.prices.circumference, 1) * abs(narrowest - self.wish), near

    def _places(
        self, first: Array, last: Array, one: Spot | None, other: Spot | None
    ) -> tuple[list[Array], list[Array]]:
        """Circumferences that decide, and those of nudges that no section follows."""
        deciding, bare = list[Array](), list[Array]()
        count, out = self.count[:, None, None], self.out[:, None, None]
        for r, run in enumerate(self.plan.runs):
            before, after = (first, count) if r == 0 else (out, last)
            spot = one if r == 0 else other
            mark = spot.mark if spot is not None else 0
            if run.evens and self.even is not None:
                if mark > 0:
                    deciding.append(_um(before, self.even.width_cm))
                if mark < len(run.evens):
                    deciding.append(_um(after, self.even.width_cm))
            if run.band is not None:
                deciding += [self.first_um[:, None, None], self.last_um[:, None, None]]
            if run.end and spot is not None and mark == len(run.evens):
                bare.append(_um(after, run.nudge_gauge(mark).width_cm))
        return deciding, bare

    def _bound(self, crowns: CrownScore, ends: Array, floor: Array) -> int:
        """Never more than a design with two nudges costs."""
        import numpy as np

        nudges = np.array([n for n in range(-self.reach, self.reach + 1) if n])
        extra = self.counts.nudge_cost[abs(nudges)]
        start = self.count[:, None] - nudges - crowns.low
        first = (extra + _looked_up(crowns.by_count(crowns.cost), start)).min(axis=1)
        end = extra + _looked_up(ends, self.out[:, None] + nudges - self.lowest_end)
        allowed = abs(nudges) <= self.counts.nudge[self.out][:, None]
        last = np.where(allowed, end, NEVER).min(axis=1)
        return min(NEVER, int((floor + first + last).min()))


def _um(count: Array, width: float) -> Array:
    """Whole micrometres of many counts."""
    import numpy as np

    return np.rint(count * width * 10_000).astype(np.int64)


def _looked_up(table: Array, places: Array) -> Array:
    """Entries of a table, NEVER beyond its ends."""
    import numpy as np

    inside = (places >= 0) & (places < len(table))
    return np.where(inside, table[np.where(inside, places, 0)], NEVER)
