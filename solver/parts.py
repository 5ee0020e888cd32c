"""The integer model's parts: each section adds its own variables, constraints and price.

A part takes the count it is worked on as an expression and offers the count it leaves, its
height and its cost the same way; each can be tested alone on a model of three lines. Rows come
from the small exact tables; the parts only choose among them and tie them together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from . import price
from .nudge import could_be_part_round
from .piece import Band, Crown, Even, Piece
from .rows import BandRow, CrownRow
from .runs import Run
from .units import MM, micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr

    from .ends import EndRow

MILLION = 1_000_000


def one_of(model: CpModel, name: str, number: int) -> list[IntVar]:
    """Booleans of which exactly one holds."""
    chosen = [model.new_bool_var(f"{name}{i}") for i in range(number)]
    model.add_exactly_one(chosen)
    return chosen


def weighed(chosen: Sequence[IntVar], values: Iterable[int]) -> LinearExpr:
    """The value of the one chosen."""
    from ortools.sat.python.cp_model import LinearExpr

    return LinearExpr.weighted_sum(list(chosen), list(values))


def added(terms: Iterable[LinearExpr | int]) -> LinearExpr:
    """The sum of expressions and numbers, an expression even where there are none."""
    from ortools.sat.python.cp_model import LinearExpr

    return LinearExpr.sum(list(terms))


class CrownPart:
    """Chooses one crown: start, sectors, stop round, second rate, part round, double rounds."""

    def __init__(self, model: CpModel, crown: Crown, rows: Sequence[CrownRow]) -> None:
        self.crown, self.rows = crown, rows
        self.chosen = one_of(model, "crown", len(rows))
        self.count = weighed(self.chosen, (row.count for row in rows))
        height = micrometres(crown.gauge.height_cm)
        hole = micrometres(crown.hole_cm / 2)
        self.height = weighed(self.chosen, (hole + height * len(row.changes) for row in rows))
        self.cost = weighed(self.chosen, (row.cost for row in rows))

    def forbid_part_rounds(self, model: CpModel, nudge: NudgePart) -> None:
        """A nudge right after the crown may not be what is really a part round."""
        if 0 not in nudge.at:
            return
        for row, crown in zip(self.rows, self.chosen, strict=True):
            for change, used in nudge.by_change.items():
                if could_be_part_round(self.crown, row.changes, row.sectors, change):
                    model.add_bool_or([~crown, ~used, ~nudge.at[0]])


class NudgePart:
    """One round that adds or drops a few stitches, at one of ``spots`` (counted in even sections
    before it); none where there is no spot."""

    def __init__(
        self, model: CpModel, piece: Piece, count_in: LinearExpr, spots: Sequence[int]
    ) -> None:
        self.model, self.count_in = model, count_in
        most = piece.limits.nudge_stitches if spots else 0
        changes = range(-most, most + 1)
        chosen = one_of(model, "nudge", len(changes))
        self.by_change = dict(zip(changes, chosen, strict=True))
        self.at = {spot: model.new_bool_var(f"at{spot}") for spot in spots}
        model.add_exactly_one([self.by_change[0], *self.at.values()])
        self.change = weighed(chosen, changes)
        self.count = count_in + self.change
        self.used = ~self.by_change[0]
        costs = [price.total(price.nudge_price(piece, change)) for change in changes]
        self.cost = weighed(chosen, costs)
        share = round(piece.limits.nudge_share * MILLION)
        model.add(MILLION * weighed(chosen, map(abs, changes)) <= share * count_in)

    def height(self, run: Run) -> LinearExpr:
        """Height of its round in the gauge of its spot, 0 where it is not worked."""
        heights = (micrometres(run.nudge_gauge(spot).height_cm) for spot in self.at)
        return weighed(list(self.at.values()), heights)

    def count_of(self, even: int) -> LinearExpr:
        """Count of the run's even section of this number: with the nudge if it stands before."""
        late = [chosen for spot, chosen in self.at.items() if spot > even]
        if not late:
            return self.count
        count = self.model.new_int_var(0, 10_000, "even_count")
        for spot, chosen in self.at.items():
            here = self.count_in if spot > even else self.count
            self.model.add(count == here).only_enforce_if(chosen)
        self.model.add(count == self.count_in).only_enforce_if(self.by_change[0])
        return added([count])


class EvenPart:
    """How many plain rounds one even section has over its least."""

    def __init__(self, model: CpModel, even: Even, most: int) -> None:
        low, high = even.rounds
        self.even = even
        self.free = high is None or high > low
        top = most if high is None else min(most, high - low)
        self.extra = model.new_int_var(0, top if self.free else 0, "extra")
        self.rounds = low + self.extra
        self.height = self.rounds * micrometres(even.gauge.height_cm)


class BandPart:
    """Chooses t and the number of repeats, and how many times the figure is worked."""

    def __init__(
        self, model: CpModel, band: Band, rows: Sequence[BandRow], count_in: LinearExpr
    ) -> None:
        self.band, self.rows = band, rows
        self.chosen = one_of(model, "band", len(rows))
        model.add(count_in == weighed(self.chosen, (row.count_in for row in rows)))
        self.count = weighed(self.chosen, (row.count_out for row in rows))
        self.cost = weighed(self.chosen, (row.cost for row in rows))
        self.times = model.new_int_var(
            band.rounds[0] // band.figure.rounds, band.rounds[1] // band.figure.rounds, "times"
        )
        self.rounds = self.times * band.figure.rounds
        measured = band.measured_height_cm
        each = band.figure.rounds * micrometres(band.gauge.height_cm)
        self.height = self.times * (each if measured is None else micrometres(measured))

    def widths(self) -> list[float]:
        """Width of one place of each row."""
        return [price.band_width_cm(self.band, r.per_repeat[0], r.give) for r in self.rows]


class EndPart:
    """Chooses brim sectors, rhythm, brim rounds, the nudge before the edging."""

    def __init__(
        self, model: CpModel, rows: Sequence[tuple[int, EndRow]], count_in: LinearExpr
    ) -> None:
        self.rows = rows
        self.chosen = one_of(model, "end", len(rows))
        model.add(count_in == weighed(self.chosen, (count for count, _ in rows)))
        self.cost = weighed(self.chosen, (row.cost for _, row in rows))


class AroundPart:
    """Circumference where the head is met: within tolerance everywhere, priced at the narrowest
    place (without a crown at the first; each own wish at its worst end)."""

    def __init__(self, model: CpModel, piece: Piece) -> None:
        self.model, self.piece = model, piece
        self.limit = micrometres(piece.limits.around_cm)
        self.shared: list[LinearExpr] = []
        self.own: dict[int, list[tuple[LinearExpr, int]]] = {}

    def judge(self, um: LinearExpr, own: int | None, wish_um: int | None) -> None:
        """Judge a circumference against the section's own wish or the head's."""
        if wish_um is None:
            return
        self.model.add_linear_constraint(um, wish_um - self.limit, wish_um + self.limit)
        if own is None:
            self.shared.append(um)
        else:
            self.own.setdefault(own, []).append((um, wish_um))

    def cost(self) -> LinearExpr:
        """Price of all misses."""
        rate = round(self.piece.prices.circumference * 1000)
        misses: list[LinearExpr | int] = []
        if self.shared and self.piece.around_cm is not None:
            narrowest = self.model.new_int_var(0, 10**7, "narrowest")
            crown = isinstance(self.piece.sections[0], Crown)
            self.model.add_min_equality(narrowest, self.shared if crown else self.shared[:1])
            misses.append(self._miss([(narrowest, micrometres(self.piece.around_cm))]))
        for places in self.own.values():
            misses.append(self._miss(places))
        return rate * added(misses)

    def _miss(self, places: Sequence[tuple[LinearExpr, int]]) -> IntVar:
        miss = self.model.new_int_var(0, self.limit, "miss")
        for um, wish in places:
            self.model.add(miss >= um - wish)
            self.model.add(miss >= wish - um)
        return miss


class DepthPart:
    """Depth along the fabric within its tolerance, priced by its miss."""

    def __init__(self, model: CpModel, piece: Piece, depth: LinearExpr) -> None:
        self.cost = added(())
        if piece.depth_cm is None:
            return
        limit, wish = price.depth_limit_um(piece), micrometres(piece.depth_cm)
        miss = model.new_int_var(0, limit, "depth_miss")
        model.add(miss >= depth - wish)
        model.add(miss >= wish - depth)
        self.cost = round(piece.prices.depth * 1000) * miss


Width = tuple["IntVar | None", float]


def step_cost(
    model: CpModel, piece: Piece, first: Sequence[Width], second: Sequence[Width]
) -> LinearExpr:
    """Price of the width step between two neighbours, each ``[(chosen, width), ...]`` with
    chosen None where there is no choice."""
    table = [
        (a, b, price.total(price.step_price(piece.prices, w, v)))
        for a, w in first
        for b, v in second
    ]
    least = min(amount for *_, amount in table)
    if all(amount == least for *_, amount in table):
        return added([least])
    step = model.new_int_var(0, max(amount for *_, amount in table), "step")
    for a, b, amount in table:
        model.add(step >= amount).only_enforce_if([x for x in (a, b) if x is not None])
    return step


assert MM == MILLION  # nudge shares and costs are both kept to a millionth
