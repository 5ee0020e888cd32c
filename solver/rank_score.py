"""The best score of many pieces that differ in gauge and size only, without a search for each.

What counts a crown, a band and a brim can reach is enumerated once (lattice); a slice of it is
priced for each piece by the arithmetic of the price functions, in the same order of operations,
so that the result is the whole-number cost of the search's best design. Two nudges that a short
band may not keep apart are only bounded; where such a design might win, and for pieces of another
kind (no crown, a half sphere, several bands, circumferences of their own), the exact search is
asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi

from . import price
from .body import BodyPlan
from .lattice import (
    NEVER,
    Array,
    Brims,
    Counts,
    Crowns,
    Fits,
    brims_of,
    counts_of,
    crowns_of,
    fits_of,
)
from .piece import Band, Brim, Crown, Edging, Even, Gauge, Piece, Section
from .rank_body import BodyScore
from .rows import brim_rounds
from .search import search
from .units import MM, micrometres, per_mm
from .ways import Ways

Progress = Callable[[int], object]
WIDEST = 1.6  # the largest count of a lattice over its smallest, about
MANY = 20  # pieces for which a lattice is made; fewer are searched sooner


class Scores:
    """The ``costs`` (1e-6 mm) of the best design of every piece, None where there is none.

    ``progress`` is called with the number of pieces done since it was last called.
    """

    def __init__(self, pieces: Sequence[Piece], progress: Progress | None = None) -> None:
        self.pieces = pieces
        self.costs: list[int | None] = [None] * len(pieces)
        self._lattices: dict[int, Lattice] = {}
        for indices in _alike(pieces):
            plans = {i: BodyPlan(pieces[i]) for i in indices}
            lattices = can_score(pieces[indices[0]])
            for near in _near_counts(plans):
                many = lattices and len(near) >= MANY
                lattice = Lattice.of([plans[i] for i in near]) if many else None
                for i in near:
                    self._score(i, plans[i], lattice)
                    if progress is not None:
                        progress(1)

    def _score(self, i: int, plan: BodyPlan, lattice: Lattice | None) -> None:
        if lattice is None:
            self.costs[i] = searched(plan.piece)
        else:
            self.costs[i] = lattice.best(plan)
            self._lattices[i] = lattice

    def useful_ends(self, i: int) -> frozenset[int] | None:
        """Counts from which an end of the best design of piece ``i`` may begin: from no other is
        there one as cheap. None where that was not looked at."""
        lattice, cost = self._lattices.get(i), self.costs[i]
        if lattice is None or cost is None:
            return None
        return lattice.useful_ends(BodyPlan(self.pieces[i]), cost)


def _near_counts(plans: Mapping[int, BodyPlan]) -> Iterator[list[int]]:
    """Pieces by their counts, so that no lattice spans what no piece uses."""
    chunk: list[int] = []
    for i in sorted(plans, key=lambda i: plans[i].window):
        if chunk and plans[i].window[1] > WIDEST * plans[chunk[0]].window[0]:
            yield chunk
            chunk = []
        chunk.append(i)
    yield chunk


def searched(piece: Piece) -> int | None:
    """The cost of the exact search's best design; None where there is none."""
    designs = search(Ways(piece), 1).designs
    return designs[0].cost if designs else None


def _alike(pieces: Sequence[Piece]) -> Iterator[list[int]]:
    """Indices of pieces that differ only in what the lattice leaves open."""
    known: dict[tuple[object, ...], Piece] = {}
    found: dict[Piece, list[int]] = {}
    kinds: dict[Section, Section] = {}
    bare: dict[int, Section] = {}  # by identity: yarns share a section over their sizes
    for i, piece in enumerate(pieces):
        for section in piece.sections:
            if id(section) not in bare:
                made = _bare(section)
                bare[id(section)] = kinds.setdefault(made, made)
        sections = tuple(bare[id(section)] for section in piece.sections)
        rest = (piece.limits, piece.prices, piece.around_cm is None, piece.nudges_shape)
        key = (*map(id, sections), id(rest[0]), id(rest[1]), *rest[2:])
        if key not in known:
            around = None if piece.around_cm is None else 1.0
            known[key] = replace(piece, sections=sections, around_cm=around, depth_cm=None)
        found.setdefault(known[key], []).append(i)
    yield from found.values()


def _bare(section: Section) -> Section:
    """A section without its gauge and what a size may change."""
    bare: Section = replace(section, gauge=Gauge(1.0, 1.0), swatch=None)
    if isinstance(bare, Band):
        return replace(bare, wish_width_cm=None, measured_height_cm=None)
    if isinstance(bare, Brim):
        return replace(bare, width_cm=1.0, flare_deg=None, fullness=None, firm_rounds=0)
    return bare


def can_score(piece: Piece) -> bool:
    """Whether a piece is of the kind the lattice knows: a flat or domed crown, plain rounds of
    one gauge, at most one band, all at the head's circumference; nudges that cost something."""
    crown = piece.sections[0]
    tubes = [s for s in piece.sections if isinstance(s, Even | Band)]
    evens = {micrometres_of(s.gauge) for s in tubes if isinstance(s, Even)}
    bands = [s for s in tubes if isinstance(s, Band)]
    return (
        isinstance(crown, Crown)
        and crown.shape != "half sphere"
        and crown.double_rounds <= 2
        and piece.around_cm is not None
        and not piece.nudges_shape
        and bool(tubes)
        and all(s.around_cm is None for s in tubes)
        and len(evens) < 2
        and len(bands) < 2
        and not any(b.figure.has_give and b.give_range[1] > 60 for b in bands)
    )


def micrometres_of(gauge: Gauge) -> tuple[float, int]:
    """Two plain sections are of one gauge where these agree."""
    return gauge.width_cm, micrometres(gauge.height_cm)


@dataclass(frozen=True)
class Lattice:
    """The rows that pieces alike have in common, over all counts any of them can use."""

    crowns: Crowns
    brims: Brims | None
    fits: Fits
    counts: Counts

    @classmethod
    def of(cls, plans: Sequence[BodyPlan]) -> Lattice:
        """The lattice that serves all of these pieces, given cut into runs."""
        first = plans[0]
        assert first.crown is not None
        low = min(plan.window[0] for plan in plans)
        high = max(plan.window[1] for plan in plans)
        reach = first.piece.limits.nudge_stitches
        band = next((s for s in first.piece.sections if isinstance(s, Band)), None)
        # right before a band a nudge may lead out of the window: the band has its own width
        beyond = 0 if band is None else 2 * reach
        fits = fits_of(band, max(1, low - beyond), high + beyond)
        outs = [int(n) for n in fits.out] or [low]
        lowest, highest = max(1, min(outs) - reach), max(outs) + reach
        brims, most = None, highest
        if first.brim is not None:
            longest = max(
                max(brim_rounds(p.piece, p.brim, 0), default=0) for p in plans if p.brim is not None
            )
            brims = brims_of(first.piece, first.brim, lowest, highest, longest)
            most += max((int(n) for n in brims.grown), default=0)
        crowns = crowns_of(first.piece, first.crown, max(3, low - reach), high + reach)
        counts = counts_of(first.piece, first.edging, max(most, high) + 2 * reach)
        return cls(crowns, brims, fits, counts)

    def best(self, plan: BodyPlan) -> int | None:
        """The cost of a piece's best design; None where there is none."""
        piece, body = plan.piece, BodyScore(plan, self.fits, self.counts)
        if not body.rows:
            return None
        lows = body.lowest_crown, body.highest_crown
        crowns = CrownScore(piece, self.crowns, *lows)
        ends = self.ends(piece, body.lowest_end, body.highest_end)
        found, maybe = body.best(crowns, ends)
        if maybe < found:
            return searched(piece)
        return found if found < NEVER else None

    def useful_ends(self, plan: BodyPlan, cost: int) -> frozenset[int]:
        """Counts from which an end of a design of at most this cost may begin."""
        import numpy as np

        body = BodyScore(plan, self.fits, self.counts)
        ends = self.ends(plan.piece, body.lowest_end, body.highest_end)
        return frozenset((np.flatnonzero(ends <= cost) + body.lowest_end).tolist())

    def ends(self, piece: Piece, low: int, high: int) -> Array:
        """The cheapest end from every count of the window."""
        if self.brims is None:
            return self.counts.edge[low : high + 1]
        return end_scores(piece, self.brims, self.counts, low, high)


class CrownScore:
    """A piece's crowns on the counts of a window, priced without their depth; ``depths`` is kept
    for BodyScore, which adds the even rounds."""

    def __init__(self, piece: Piece, crowns: Crowns, low: int, high: int) -> None:
        import numpy as np

        spec = piece.sections[0]
        assert isinstance(spec, Crown)
        self.low = low
        begins = crowns.first[low - crowns.low : high - crowns.low + 2]
        part = slice(begins[0], begins[-1])
        self._begins = begins - begins[0]
        self._none = begins[1:] == begins[:-1]
        self.count, self.rounds = crowns.count[part], crowns.rounds[part]
        self.plain = crowns.plain[part]
        width, height, prices = spec.gauge.width_cm, spec.gauge.height_cm, piece.prices
        reach = spec.hole_cm / 2 + self.rounds * height
        full = self.count * width / (2 * pi * reach)
        least, most = price.FULLNESS_RANGE[spec.shape]
        miss = np.maximum(np.maximum(least - full, full - most), 0.0)
        steep = crowns.grown[part] * width / (2 * pi * (crowns.over[part] * height))
        self.cost = crowns.fixed[part] + _rint(prices.fullness * (100 * miss) * MM)
        self.cost += slope_scores(prices.slope, steep, price.SLOPE_LIMIT)
        self.depths: dict[int, Array] = {}

    def by_count(self, costs: Array) -> Array:
        """The cheapest of every count of the window, NEVER where there is none; a row for every
        row of ``costs``."""
        import numpy as np

        rows = np.full((*costs.shape[:-1], costs.shape[-1] + 1), NEVER)
        rows[..., :-1] = costs
        # a count without crowns would take its neighbour's
        least = np.minimum.reduceat(rows, self._begins[:-1], axis=-1)
        least[..., self._none] = NEVER
        return least


def _rint(values: Array) -> Array:
    """Rounded as the price functions round."""
    import numpy as np

    return np.rint(values).astype(np.int64)


def slope_scores(mm: float, steepest: Array, limit: float) -> Array:
    """price.slope_price of many."""
    import numpy as np

    return _rint(mm * (100 * np.maximum(0.0, steepest - limit)) * MM)


def end_scores(piece: Piece, brims: Brims, counts: Counts, low: int, high: int) -> Array:
    """The cheapest brim and edging from every count of the window."""
    import numpy as np

    brim = next(s for s in piece.sections if isinstance(s, Brim))
    edged = any(isinstance(s, Edging) for s in piece.sections)
    begins = brims.first[low - brims.low : high - brims.low + 2]
    part = slice(begins[0], begins[-1])
    final = brims.count[part] + brims.grown[part]
    best = later = None
    for rounds in brim_rounds(piece, brim, 0):
        costs = _brim_costs(piece, brim, brims, part, rounds)
        best = costs if best is None else np.minimum(best, costs)
        if edged and rounds >= piece.limits.nudge_apart - 1:
            later = costs if later is None else np.minimum(later, costs)
    if best is None:
        return np.full(high - low + 1, NEVER)
    total = best + counts.edge[final]
    if later is not None:
        total = np.minimum(total, later + counts.mended[final])
    total += brims.fixed[part]
    stuck = brims.stuck[low - brims.low : high - brims.low + 1]
    return np.minimum(NEVER, np.minimum.reduceat(total, begins[:-1] - begins[0]) + stuck)


def _brim_costs(piece: Piece, brim: Brim, brims: Brims, part: slice, rounds: int) -> Array:
    """What every shaping of a slice costs over so many rounds; NEVER where it is not allowed."""
    import numpy as np

    prices, gauge = piece.prices, brim.gauge
    width, height = gauge.width_cm, gauge.height_cm
    shaped, grown = brims.shaped[part], brims.grown[part]
    around = piece.around_cm or 0.0
    slant_um = rounds * micrometres(height)
    fixed = per_mm(prices.brim_width, abs(slant_um - micrometres(brim.width_cm)))
    wish = price.edge_wish_cm(brim, around)
    if wish is None:
        every = _flare_table(piece, brim, int(grown.max()), rounds * height)
        costs = every[grown]
    else:
        edge = _rint((brims.count[part] + grown) * width * 10_000)
        off = np.abs(edge - micrometres(wish))
        costs = _rint(round(prices.edge * 1000) * off / (2 * pi))
        costs[off > micrometres(piece.limits.edge_cm)] = NEVER
    tail = rounds - shaped
    rows = np.flatnonzero((costs < NEVER) & (tail >= np.where(grown > 0, brim.firm_rounds, 0)))
    tail, way = tail[rows], brims.way[part][rows]
    steep = (brims.sectors[part][rows] * brims.sums[way, tail]) * width
    steep = steep / (2 * pi * (brims.overs[way, tail] * height))
    out = np.full(len(costs), NEVER)
    limit = price.brim_slope_limit(brim, around)
    out[rows] = costs[rows] + slope_scores(prices.slope, steep, limit) + fixed
    return out


def _flare_table(piece: Piece, brim: Brim, most: int, slant: float) -> Array:
    """The price of the flare by the stitches a brim grows by, from 0 to ``most``."""
    import numpy as np

    wish = brim.flare_deg or 0.0
    ratio = np.arange(most + 1) * brim.gauge.width_cm / (2 * pi * slant)
    flares = np.where(ratio >= 1, 90.0, np.degrees(np.arcsin(np.minimum(ratio, 1.0))))
    off = np.abs(flares - wish)
    costs = _rint(piece.prices.flare * off * MM)
    costs[off > piece.limits.flare_deg + 1e-9] = NEVER
    return costs
