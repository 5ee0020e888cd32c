"""One family of briefs solved by another solver: HiGHS, through scipy.optimize.milp.

The mixed integer model below was written from the issue's rules and the trade's geometry, not
from the solver's tables: counts are integer variables, divisibility is one quotient a divisor,
fullness is a line for each stop round. It knows crowns of one rate with a part round, even
rounds, one band with give, and a brim; nudges before the even rounds and before the brim.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import asin, degrees, inf, pi, radians, sin

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Even,
    Piece,
)

Terms = Mapping[int, float]
BIG = 1000.0


@dataclass
class Linear:
    """A small mixed integer programme, built one row at a time. Prices in mm."""

    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    price: list[float] = field(default_factory=list)
    rows: list[tuple[Terms, float, float]] = field(default_factory=list)
    fixed: float = 0.0

    def add(self, low: float, high: float, *, whole: bool = True, price: float = 0.0) -> int:
        self.low.append(low)
        self.high.append(high)
        self.whole.append(int(whole))
        self.price.append(price)
        return len(self.low) - 1

    def choice(self, price: float = 0.0) -> int:
        return self.add(0, 1, price=price)

    def row(self, terms: Terms, low: float = -inf, high: float = inf) -> None:
        self.rows.append((terms, low, high))

    def one_of(self, columns: list[int]) -> None:
        self.row(dict.fromkeys(columns, 1.0), 1, 1)

    def at_least_miss(self, miss: int, terms: Terms, wish: float) -> None:
        """miss >= |terms - wish|"""
        self.row({**terms, miss: -1.0}, high=wish)
        self.row({**terms, miss: 1.0}, low=wish)

    def solve(self) -> tuple[float, list[float]] | None:
        places = [(i, c, v) for i, (t, _, _) in enumerate(self.rows) for c, v in t.items()]
        lines, columns, values = zip(*places, strict=True)
        shape = (len(self.rows), len(self.low))
        matrix = csr_array((values, (lines, columns)), shape=shape)
        found = milp(
            np.array(self.price),
            integrality=np.array(self.whole),
            bounds=Bounds(np.array(self.low), np.array(self.high)),
            constraints=LinearConstraint(
                matrix, [low for _, low, _ in self.rows], [high for _, _, high in self.rows]
            ),
            options={"mip_rel_gap": 0.0},
        )
        if found.status == 2:
            return None
        assert found.status == 0, found.message
        return float(found.fun) + self.fixed, [float(x) for x in found.x]


def times(factor: float, terms: Terms) -> dict[int, float]:
    return {column: factor * value for column, value in terms.items()}


def plus(*many: Terms) -> dict[int, float]:
    out: dict[int, float] = {}
    for terms in many:
        for column, value in terms.items():
            out[column] = out.get(column, 0.0) + value
    return out


def is_multiple(model: Linear, when: Terms, count: Terms, of: int) -> None:
    """count = of x a whole number wherever the sum of ``when`` (0 or 1) is 1."""
    quotient = model.add(0, BIG)
    for side in (1.0, -1.0):
        model.row(plus(times(side, count), {quotient: -side * of}, times(BIG, when)), high=BIG)


@dataclass
class Hat:
    """The family's model of one piece. Lengths in mm, so that prices need no factor."""

    piece: Piece
    model: Linear = field(default_factory=Linear)

    def __post_init__(self) -> None:
        crown, even, band, brim = self.piece.sections
        assert isinstance(crown, Crown) and isinstance(even, Even)
        assert isinstance(band, Band) and isinstance(brim, Brim)
        assert crown.rates == 1 and crown.double_rounds == 0 and crown.shape == "flat"
        assert crown.gauge == even.gauge == band.gauge
        self.crown, self.even, self.band, self.brim = crown, even, band, brim
        self.width, self.height = 10 * crown.gauge.width_cm, 10 * crown.gauge.height_cm
        assert self.piece.around_cm is not None and self.piece.depth_cm is not None
        self.around = 10 * self.piece.around_cm

    def best(self) -> float | None:
        """Lowest score in mm; None where nothing is possible."""
        self._crown()
        # one nudge before the band: right after the crown, or after the even rounds
        early = self._nudge(self.stop_count, forbidden=True)
        late = self._nudge(self.stop_count, forbidden=False)
        self.model.row(plus(early[1], late[1]), high=1)
        self.even_count = plus(self.stop_count, early[0])
        self.side = plus(self.even_count, late[0])
        first = self.side, plus(early[1], late[1])
        self._band()
        second = self._nudge(self.side, forbidden=False)
        self.turn = plus(self.side, second[0])
        self._circumference()
        self._depth(first[1], second[1])
        self._brim()
        self._steps()
        solved = self.model.solve()
        return None if solved is None else solved[0]

    def _crown(self) -> None:
        """Start, then a sum of equal rounds, then perhaps fewer that divide the count."""
        model, crown, prices = self.model, self.crown, self.piece.prices
        ways = list[int]()
        full, grown = dict[int, float](), dict[int, float]()
        self.by_sectors: dict[int, list[int]] = {}
        for start in range(crown.start_range[0], crown.start_range[1] + 1):
            for sectors in range(crown.sector_range[0], crown.sector_range[1] + 1):
                if start % sectors:
                    continue
                steep = sectors * self.width / (2 * pi * self.height)
                price = prices.slope * 100 * max(0.0, steep - 1.10)
                if crown.sectors_wished is not None:
                    price += prices.sectors * abs(sectors - crown.sectors_wished)
                way = model.choice(price)
                rounds = model.add(0, 30)
                # three rounds in a row are full ones, so the slope is the rate's
                model.row({rounds: 1, way: -3}, low=0)
                model.row({rounds: 1, way: -30}, high=0)
                ways.append(way)
                full[rounds] = 1
                grown |= {way: start, rounds: sectors}
                self.by_sectors.setdefault(sectors, []).append(way)
        model.one_of(ways)
        self.parts = {
            fewer: model.choice(prices.part_round)
            for fewer in range(2, max(self.by_sectors))
            if crown.part_round
        }
        model.row(dict.fromkeys(self.parts.values(), 1.0), high=1)
        for fewer, chosen in self.parts.items():
            enough = [w for s, each in self.by_sectors.items() if s > fewer for w in each]
            model.row({chosen: 1, **dict.fromkeys(enough, -1.0)}, high=0)
            is_multiple(model, {chosen: 1}, grown, fewer)
        part = {chosen: float(fewer) for fewer, chosen in self.parts.items()}
        self.stop_count = plus(grown, part)
        self.rounds_after_start = plus(full, dict.fromkeys(self.parts.values(), 1.0))
        self._fullness()

    def _fullness(self) -> None:
        """N w / 2 pi (r0 + k h) for each stop round k, priced outside 0.95 to 1.05."""
        model, price = self.model, self.piece.prices.fullness * 100
        off = model.add(0, 10, whole=False, price=price)
        stops = {k: model.choice() for k in range(4, 33)}
        model.one_of(list(stops.values()))
        model.row(
            plus(self.rounds_after_start, {c: -(k - 1.0) for k, c in stops.items()}), low=0, high=0
        )
        for k, chosen in stops.items():
            reach = 2 * pi * (10 * self.crown.hole_cm / 2 + k * self.height)
            full = times(self.width / reach, self.stop_count)
            model.row(plus(full, {off: -1, chosen: 50}), high=1.05 + 50)
            model.row(plus(full, {off: 1, chosen: -50}), low=0.95 - 50)

    def _nudge(self, count: Terms, *, forbidden: bool) -> tuple[dict[int, float], dict[int, float]]:
        """By how much, and whether; ``forbidden``: not what is really the crown's part round."""
        model, limits, prices = self.model, self.piece.limits, self.piece.prices
        most = limits.nudge_stitches
        changes = {
            change: model.choice(prices.nudge + prices.nudge_stitch * abs(change))
            for change in range(-most, most + 1)
            if change
        }
        used = dict.fromkeys(changes.values(), 1.0)
        if used:
            model.row(used, high=1)
        for change, chosen in changes.items():
            # at most its share of the count
            model.row(plus(times(limits.nudge_share, count), {chosen: -abs(change)}), low=-1e-9)
            if forbidden and change >= 2 and self.crown.part_round:
                self._not_a_part_round(change, chosen, count)
        return {chosen: float(change) for change, chosen in changes.items()}, used

    def _not_a_part_round(self, change: int, chosen: int, count: Terms) -> None:
        """Without a part round and with more sectors than ``change``, it must not divide."""
        model = self.model
        larger = [w for s, ways in self.by_sectors.items() if s > change for w in ways]
        if not larger:
            return
        quotient, rest = model.add(0, BIG), model.add(1, change - 1)
        when = {chosen: 1.0} | dict.fromkeys(larger, 1.0) | dict.fromkeys(self.parts.values(), -1.0)
        for side in (1.0, -1.0):
            equal = plus(times(side, count), {quotient: -side * change, rest: -side})
            model.row(plus(equal, times(BIG, when)), high=2 * BIG)

    def _band(self) -> None:
        """A multiple for each t, priced by the width of its repeat at the body's gauge."""
        model, band = self.model, self.band
        takes = dict[int, float]()
        self.gives: dict[int, int] = {}
        self.repeats: dict[int, int] = {}
        for t in range(band.give_range[0], band.give_range[1] + 1):
            repeat = band.figure.counts[0] + band.figure.give[0] * t
            wish = band.repeat_wish_cm
            miss = 0.0 if wish is None else abs(repeat * self.width - 10 * wish)
            if wish is not None and miss > 10 * wish * self.piece.limits.repeat_share + 1e-9:
                continue
            chosen = model.choice(self.piece.prices.repeat_width * miss)
            number = model.add(0, BIG)
            model.row({number: 1, chosen: -BIG}, high=0)
            model.row({number: 1, chosen: -1}, low=0)
            self.gives[t], self.repeats[t] = chosen, number
            takes[number] = repeat
        model.one_of(list(self.gives.values()))
        model.row(plus(self.side, times(-1, takes)), low=0, high=0)

    def _circumference(self) -> None:
        """Within tolerance wherever the head is met; the narrowest place is priced."""
        model, limit = self.model, 10 * self.piece.limits.around_cm
        measured = self.band.measured_repeat_cm
        around_band = times(self.width, self.side)
        if measured is not None:
            around_band = {}
            for t, number in self.repeats.items():
                around_band[number] = 10 * measured + (t - self.band.measured_give) * self.width
        # the nudge before the brim has to be near the wish too, but is no section that decides
        model.row(times(self.width, self.turn), self.around - limit, self.around + limit)
        places = [times(self.width, self.even_count), around_band]
        narrowest = model.add(0, 10_000, whole=False)
        miss = model.add(0, limit, whole=False, price=self.piece.prices.circumference)
        which = [model.choice() for _ in places]
        model.one_of(which)
        for place, chosen in zip(places, which, strict=True):
            model.row(place, self.around - limit, self.around + limit)
            model.row(plus({narrowest: 1}, times(-1, place)), high=0)
            model.row(plus(place, {narrowest: -1, chosen: BIG}), high=BIG)
        model.at_least_miss(miss, {narrowest: 1}, self.around)

    def _depth(self, first: Terms, second: Terms) -> None:
        """Start round, full rounds, nudges, even rounds, band: along the fabric."""
        model, piece = self.model, self.piece
        assert piece.depth_cm is not None
        low, high = self.even.rounds
        even = model.add(low, 60 if high is None else high)
        height = self.band.measured_height_cm
        figures = self.band.rounds[0] / self.band.figure.rounds
        band = figures * (self.band.figure.rounds * self.height if height is None else 10 * height)
        limit = self.height if piece.limits.depth_cm is None else 10 * piece.limits.depth_cm
        miss = model.add(0, limit, whole=False, price=piece.prices.depth)
        rounds = plus(self.rounds_after_start, first, second, {even: 1})
        given = 10 * self.crown.hole_cm / 2 + self.height + band
        model.at_least_miss(miss, times(self.height, rounds), 10 * piece.depth_cm - given)

    def _brim(self) -> None:
        """One choice for each shaping and width; what it adds divides the count it starts on."""
        model, ways = self.model, list[int]()
        edges = dict[int, float]()
        by_sectors: dict[int, list[int]] = {}
        for sectors, adds, price in self._shapings():
            way = model.choice(price)
            ways.append(way)
            edges[way] = adds
            by_sectors.setdefault(sectors, []).append(way)
        model.one_of(ways)
        for sectors, each in by_sectors.items():
            is_multiple(model, dict.fromkeys(each, 1.0), self.turn, sectors)
        if self.brim.flare_deg is not None and self.brim.flare_deg > 60:
            width, reach = 10 * self.brim.gauge.width_cm, 2 * pi * 10 * self.brim.width_cm
            # lengths are kept to the micrometre
            wish = round(self.around + reach * sin(radians(self.brim.flare_deg)), 3)
            edge = times(width, plus(self.turn, edges))
            limit = 10 * self.piece.limits.edge_cm
            miss = model.add(0, limit, whole=False, price=self.piece.prices.edge / (2 * pi))
            model.at_least_miss(miss, edge, wish)

    def _shapings(self) -> Iterator[tuple[int, int, float]]:
        """(sectors, what the brim adds, price but for the edge)."""
        brim, prices, limits = self.brim, self.piece.prices, self.piece.limits
        width, height = 10 * brim.gauge.width_cm, 10 * brim.gauge.height_cm
        off = height if limits.brim_cm is None else 10 * limits.brim_cm
        for rounds in range(1, 30):
            miss = abs(rounds * height - 10 * brim.width_cm)
            if miss > off + 1e-9:
                continue
            for sectors in range(brim.sector_range[0], brim.sector_range[1] + 1):
                for rhythm in brim.rhythms:
                    assert rhythm.increases == 1
                    last = [1 + k * rhythm.block for k in range(rounds)]
                    for grown, place in enumerate(last, 1):
                        if place + brim.firm_rounds > rounds:
                            break
                        price = prices.brim_width * miss
                        if brim.sectors_wished is not None:
                            price += prices.sectors * abs(sectors - brim.sectors_wished)
                        spread = _tightest(rhythm.block, grown, rounds - place)
                        steep = sectors * width / (2 * pi * spread * height)
                        price += prices.slope * 100 * max(0.0, steep - 1.10)
                        assert brim.flare_deg is not None
                        if brim.flare_deg <= 60:
                            ratio = sectors * grown * width / (2 * pi * rounds * height)
                            angle = 90.0 if ratio >= 1 else degrees(asin(ratio))
                            if abs(angle - brim.flare_deg) > limits.flare_deg + 1e-9:
                                continue
                            price += prices.flare * abs(angle - brim.flare_deg)
                        yield sectors, sectors * grown, price

    def _steps(self) -> None:
        """Widths of neighbours that differ by more than 3 %."""
        model, price = self.model, self.piece.prices.width_step
        brim = 10 * self.brim.gauge.width_cm
        for t, chosen in self.gives.items():
            repeat, place = self.band.figure.counts[0] + self.band.figure.give[0] * t, self.width
            if self.band.measured_repeat_cm is not None:
                plain = (t - self.band.measured_give) * self.width
                place = (10 * self.band.measured_repeat_cm + plain) / repeat
            for one, other in ((self.width, place), (place, brim)):
                percent = 100 * (max(one, other) / min(one, other) - 1)
                model.price[chosen] += price * max(0.0, percent - 3)


def _tightest(block: int, grown: int, plain_after: int) -> int:
    """Rounds over which one increase round is read: its block; the last one's own plain rounds
    where they are fewer, all of them where it stands alone."""
    if grown == 1:
        return 1 + plain_after
    return 1 if block == 1 else min(block, 1 + plain_after)
