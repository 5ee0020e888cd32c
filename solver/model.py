"""The integer model (OR-Tools CP-SAT): the sum of its parts, chosen and proven.

CP-SAT chooses the best design and proves it; the exact search (search.py) lists the rest and is
the second opinion. Ortools is imported late: importing it costs more than most answers.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from . import price
from .body import BodyPlan
from .parts import (
    AroundPart,
    BandPart,
    CrownPart,
    DepthPart,
    EndPart,
    EvenPart,
    NudgePart,
    Width,
    added,
    one_of,
    step_cost,
    weighed,
)
from .piece import Band, Even
from .rows import BandRow, CrownRow, band_rows
from .runs import Run
from .units import micrometres
from .ways import Ways

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, LinearExpr

    from .ends import EndRow

MOST_EXTRA = 200  # plain rounds over the least
Status = Literal["optimal", "feasible", "infeasible", "unknown"]


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows a model may choose from."""

    crowns: tuple[CrownRow, ...]
    bands: tuple[tuple[BandRow, ...], ...]
    ends: tuple[tuple[int, EndRow], ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What CP-SAT says: its status and, if it has one, the design it chose."""

    status: Status
    cost: int | None


def all_rows(ways: Ways) -> Rows:
    """Every row of every section: the whole model, nothing left out."""
    plan, piece = ways.plan, ways.piece
    reach = piece.limits.nudge_stitches
    lows, highs = max(1, plan.window[0] - reach), plan.window[1] + reach
    bands = []
    for run in plan.runs:
        if run.band is None:  # a nudge of its own may stand in each run
            lows, highs = max(1, lows - reach), highs + reach
            continue
        rows = band_rows(piece, run.band, lows, highs)
        bands.append(tuple(rows))
        outs = [row.count_out for row in rows] or [lows]
        lows, highs = max(1, min(outs) - reach), max(outs) + reach
    ends = tuple((n, row) for n in range(lows, highs + 1) for row in ways.ends.rows(n))
    return Rows(tuple(ways.crowns), tuple(bands), ends)


def rows_that_matter(ways: Ways, most: int) -> Rows:
    """The rows left once those are dropped that cannot be part of any design of a cost up to
    ``most``: with the cheapest body and the cheapest of the rest they already cost more."""
    rows = all_rows(ways)
    body = ways.bodies.least
    crown = min((row.cost for row in rows.crowns), default=0)
    end = min((row.cost for _, row in rows.ends), default=0)
    return Rows(
        tuple(row for row in rows.crowns if row.cost + body + end <= most),
        tuple(tuple(r for r in band if r.cost + crown + end <= most) for band in rows.bands),
        tuple((n, row) for n, row in rows.ends if row.cost + body + crown <= most),
    )


class PieceModel:
    """The whole integer model of a piece over given rows."""

    def __init__(self, plan: BodyPlan, rows: Rows) -> None:
        from ortools.sat.python.cp_model import CpModel

        self.plan, self.rows, self.model = plan, rows, CpModel()
        self.nudges: list[NudgePart] = []
        self.evens: list[EvenPart] = []
        self.bands: list[BandPart] = []
        # rounds of each run's even sections, and of its band
        self.worked: list[tuple[list[LinearExpr], LinearExpr | None]] = []
        self.crown: CrownPart | None = None
        self.around = AroundPart(self.model, plan.piece)
        self.costs: list[LinearExpr] = []
        self.total = self._build()
        self.model.minimize(self.total)

    # --- building ------------------------------------------------------------------------

    def _build(self) -> LinearExpr:
        plan, model = self.plan, self.model
        depth = added(())
        if plan.crown is not None:
            self.crown = CrownPart(model, plan.crown, self.rows.crowns)
            count, depth = self.crown.count, self.crown.height
            self.costs.append(self.crown.cost)
        else:
            low, high = plan.window
            count = model.new_int_var(low, high, "chain")
        self.first_count = count
        rows = iter(self.rows.bands)
        for index, run in enumerate(plan.runs):
            nudge = NudgePart(model, plan.piece, count, run.spots)
            if index == 0 and self.crown is not None:
                self.crown.forbid_part_rounds(model, nudge)
            self.nudges.append(nudge)
            self.costs.append(nudge.cost)
            count = nudge.count
            depth += nudge.height(run)
            self.worked.append(([], None))
            for number, even in enumerate(run.evens):
                depth += self._even(even, nudge.count_of(number))
            if run.band is not None:
                part = BandPart(model, run.band, next(rows), count)
                depth += self._band(part)
                count = part.count
            elif run.end:
                self._bare(run, nudge)
        if plan.brim is None and plan.edging is not None:
            depth += plan.edging.figure.rounds * micrometres(plan.edging.gauge.height_cm)
        self.costs.append(DepthPart(model, plan.piece, depth).cost)
        self.end = EndPart(model, self.rows.ends, count)
        self.costs.append(self.end.cost)
        self._space_nudges()
        self.costs.append(self.around.cost())
        self.costs += self._steps()
        return added(self.costs)

    def _even(self, even: Even, count: LinearExpr) -> LinearExpr:
        part = EvenPart(self.model, even, MOST_EXTRA)
        self.evens.append(part)
        self.worked[-1][0].append(added([part.rounds]))
        self._judge_count(even, count, even.gauge.width_cm)
        return part.height

    def _judge_count(self, section: Even | None, count: LinearExpr, width_cm: float) -> None:
        own = section is not None and section.around_cm is not None
        wish = section.around_cm if own and section else self.plan.piece.around_cm
        if wish is None:
            return
        um = self._within(count, width_cm, micrometres(wish))
        self.around.judge(um, id(section) if own else None, micrometres(wish))

    def _within(self, count: LinearExpr, width_cm: float, wish_um: int) -> LinearExpr:
        """Circumference of a count that has to lie within tolerance: one of few."""
        limit = self.around.limit
        first, last = (wish_um - limit) / 10_000 / width_cm, (wish_um + limit) / 10_000 / width_cm
        window = range(int(first), int(last) + 2)
        ums = {n: micrometres(n * width_cm) for n in window}
        ums = {n: um for n, um in ums.items() if abs(um - wish_um) <= limit}
        chosen = one_of(self.model, "count", len(ums))
        self.model.add(count == weighed(chosen, ums))
        return weighed(chosen, ums.values())

    def _circumference(self, count: LinearExpr, width_cm: float) -> LinearExpr:
        widest = round(10**7 / micrometres(width_cm)) + 1
        table = [micrometres(n * width_cm) for n in range(widest)]
        um = self.model.new_int_var(0, table[-1], "around")
        self.model.add_element(count, table, um)
        return um

    def _band(self, part: BandPart) -> LinearExpr:
        self.bands.append(part)
        self.costs.append(part.cost)
        self.worked[-1] = (self.worked[-1][0], added([part.rounds]))
        band, own = part.band, part.band.around_cm is not None
        wish = band.around_cm if own else self.plan.piece.around_cm
        for counts in ([r.count_in for r in part.rows], [r.count_out for r in part.rows]):
            table = [
                price.band_around_um(band, count, row.repeats, row.give)
                for count, row in zip(counts, part.rows, strict=True)
            ]
            um = weighed(part.chosen, table)
            self.around.judge(um, id(band) if own else None, micrometres(wish) if wish else None)
        return part.height

    def _bare(self, run: Run, nudge: NudgePart) -> None:
        """A nudge right before the end of the body has to be near the wish at its own gauge;
        where there are no sides at all the crown's end decides the fit."""
        piece, last = self.plan.piece, len(run.evens)
        if piece.around_cm is None:
            return
        wish, limit = micrometres(piece.around_cm), self.around.limit
        if not (self.around.shared or self.around.own):
            gauge = run.nudge_gauge(last) if last in run.spots else piece.sections[0].gauge
            self.around.judge(self._within(nudge.count, gauge.width_cm, wish), None, wish)
        elif last in nudge.at:
            um = self._circumference(nudge.count, run.nudge_gauge(last).width_cm)
            near = self.model.add_linear_constraint(um, wish - limit, wish + limit)
            near.only_enforce_if(nudge.at[last])

    def _space_nudges(self) -> None:
        """Nudges stand so many rounds apart, whatever their spots."""
        apart = self.plan.piece.limits.nudge_apart
        for i, first in enumerate(self.nudges):
            for j in range(i + 1, len(self.nudges)):
                for spot, here in first.at.items():
                    for other, there in self.nudges[j].at.items():
                        rounds = self._between(i, spot, j, other)
                        self.model.add(rounds >= apart).only_enforce_if([here, there])

    def _between(self, i: int, spot: int, j: int, other: int) -> LinearExpr:
        """How many rounds apart a nudge at a spot of run i and one of run j stand."""
        evens, band = self.worked[i]
        terms: list[LinearExpr | int] = [1, *evens[spot:]]
        terms += [] if band is None else [band]
        for k in range(i + 1, j):
            terms += self.worked[k][0]
            terms += [added([1 - self.nudges[k].by_change[0]])]
            middle = self.worked[k][1]
            terms += [] if middle is None else [middle]
        return added([*terms, *self.worked[j][0][:other]])

    def _steps(self) -> list[LinearExpr]:
        bands, widths = iter(self.bands), list[list[Width]]()
        for section in self.plan.piece.sections:
            if isinstance(section, Band):
                part = next(bands)
                widths.append(list(zip(part.chosen, part.widths(), strict=True)))
            else:
                widths.append([(None, section.gauge.width_cm)])
        return [step_cost(self.model, self.plan.piece, a, b) for a, b in pairwise(widths)]

    # --- solving -------------------------------------------------------------------------

    def at_most(self, cost: int) -> None:
        """Leave out designs that cost more than one already at hand."""
        self.model.add(self.total <= cost)

    def solve(self, seconds: float) -> Answer:
        """Solve within a time limit (seconds)."""
        return solved(self.model, self.total, seconds, linearization=1)


def solved(model: CpModel, total: LinearExpr, seconds: float, linearization: int) -> Answer:
    """What CP-SAT says of a model within a time limit, the cost being ``total``. One worker, so
    that runs repeat exactly; presolve off, for it has open reports of false verdicts."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.num_workers = 1
    parameters.random_seed = 1
    parameters.cp_model_presolve = False
    parameters.linearization_level = linearization
    parameters.max_time_in_seconds = max(seconds, 0.001)
    status = solver.solve(model)
    names: dict[object, Status] = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "infeasible",
    }
    named = names.get(status, "unknown")
    found = named in ("optimal", "feasible")
    return Answer(named, solver.value(total) if found else None)
