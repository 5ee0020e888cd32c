"""Every part of the integer model alone, on a model of a few lines, against its plain function.

``every_value`` asks CP-SAT for all solutions; what a part allows and what it costs must be what
the specification (solver/price.py, nudge.py) says of the same choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model
from ortools.sat.python.cp_model import CpModel, CpSolver, LinearExpr

from evenround.solver import (
    Band,
    Crown,
    Edging,
    Even,
    Figure,
    Gauge,
    Limits,
    Piece,
    Prices,
    fit,
    price,
)
from evenround.solver.body import BodyPlan
from evenround.solver.depths import Ranges, every_split, shared_out, unevenness
from evenround.solver.ends import Ends
from evenround.solver.model import PieceModel, all_rows
from evenround.solver.nudge import could_be_part_round, nudge_limit
from evenround.solver.parts import (
    AroundPart,
    BandPart,
    CrownPart,
    DepthPart,
    EndPart,
    EvenPart,
    NudgePart,
    added,
    step_cost,
)
from evenround.solver.rows import band_rows, crown_rows
from evenround.solver.search import search
from evenround.solver.units import micrometres
from evenround.solver.ways import Ways

BODY = Gauge(0.5, 0.6)
PIECE = Piece((Crown(BODY), Even(BODY)), around_cm=40.0, depth_cm=15.0)


class _All(cp_model.CpSolverSolutionCallback):
    def __init__(self, expressions: Sequence[LinearExpr]) -> None:
        super().__init__()
        self.expressions, self.found = expressions, set[tuple[int, ...]]()

    def on_solution_callback(self) -> None:
        self.found.add(tuple(self.value(e) for e in self.expressions))


def every_value(model: CpModel, *expressions: LinearExpr) -> set[tuple[int, ...]]:
    """The values of the expressions in every solution."""
    solver = CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    seen = _All(expressions)
    status = solver.solve(model, seen)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return seen.found


def least(model: CpModel, cost: LinearExpr) -> int | None:
    """The least cost, None where nothing is allowed."""
    model.minimize(cost)
    solver = CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(model) == cp_model.INFEASIBLE:
        return None
    return round(solver.objective_value)


@pytest.mark.parametrize("count", [30, 79, 80, 81, 119, 120, 200])
@pytest.mark.parametrize("shaping", [False, True])
def test_a_nudge_is_what_the_limit_allows_and_costs_its_price(count: int, shaping: bool) -> None:
    piece = replace(PIECE, nudges_shape=shaping)
    model = CpModel()
    nudge = NudgePart(model, piece, added([count]), (0,))
    limit = nudge_limit(piece, count)
    wanted = {
        (change, count + change, price.total(price.nudge_price(piece, change)))
        for change in range(-limit, limit + 1)
    }
    assert every_value(model, nudge.change, nudge.count, nudge.cost) == wanted


def test_no_nudge_where_none_may_stand() -> None:
    model = CpModel()
    nudge = NudgePart(model, PIECE, added([100]), ())
    assert every_value(model, nudge.count, nudge.cost) == {(100, 0)}


def test_a_crown_is_one_row_and_forbids_nudges_that_are_part_rounds() -> None:
    crown = Crown(BODY, start_range=(8, 8), sector_range=(8, 8), rates=1)
    piece = replace(PIECE, sections=(crown, Even(BODY)))
    rows = crown_rows(piece, crown, 70, 84)
    model = CpModel()
    part = CrownPart(model, crown, rows)
    nudge = NudgePart(model, piece, part.count, (0, 1))
    part.forbid_part_rounds(model, nudge)
    late = added([nudge.at[1]])
    values = every_value(model, part.count, part.cost, nudge.change, late, nudge.count_of(0))
    wanted = {
        (row.count, row.cost, change, late, row.count + (0 if late else change))
        for row in rows
        for change in range(-nudge_limit(piece, row.count), nudge_limit(piece, row.count) + 1)
        for late in ((0, 1) if change else (0,))
        if late or not could_be_part_round(crown, row.changes, row.sectors, change)
    }
    assert values == wanted
    early = {(count, change) for count, _, change, late, _ in values if not late}
    assert {(72, 4), (80, 4)} & early == set()


def test_a_crown_row_costs_what_the_specification_says() -> None:
    crown = Crown(BODY, start_range=(7, 10), sectors_wished=9, double_rounds=1, hole_cm=0.5)
    rows = crown_rows(PIECE, crown, 60, 70)
    assert len(rows) > 50
    for row in rows:
        plan = price.crown_plan(row.changes, row.sectors)
        parts = price.crown_price(crown, PIECE.prices, row.changes, plan, PIECE.around_cm)
        assert row.cost == sum(parts.values())
        assert (row.count, row.special) == (sum(row.changes), plan.special)


@given(
    st.integers(1, 9),
    st.integers(0, 2),
    st.integers(0, 1),
    st.booleans(),
    st.sampled_from([None, 2.0, 3.0]),
)
@settings(max_examples=40, deadline=None)
def test_a_band_closes_on_exactly_the_counts_its_repeat_divides(
    repeat: int, give: int, remainder: int, paired: bool, wish: float | None
) -> None:
    band = Band(
        BODY,
        Figure((repeat, repeat + 1, repeat), (1, 1, 1)),
        rounds=(2, 4),
        remainder=remainder,
        even_repeats=paired,
        give_range=(0, give),
        repeat_wish_cm=wish,
    )
    piece = replace(PIECE, limits=Limits(around_cm=1.5, repeat_share=0.2))
    wanted = set()
    for t in range(give + 1):
        for count in range(70, 91):
            repeats, rest = divmod(count - remainder, repeat + t)
            near = abs(count * 0.5 - 40) <= 1.5
            wide = wish is None or abs((repeat + t) * 0.5 - wish) <= 0.2 * wish + 1e-9
            if not rest and near and wide and not (paired and repeats % 2):
                cost = 0 if wish is None else round(abs((repeat + t) * 0.5 - wish) * 10) * 10**6
                wanted |= {(count, count, cost, rounds) for rounds in (2, 4)}
    rows = band_rows(piece, band, 70, 90)
    model = CpModel()
    count = model.new_int_var(60, 100, "count")
    part = BandPart(model, band, rows, added([count]))
    values = every_value(model, added([count]), part.count, part.cost, part.rounds)
    assert {(n, out, round(cost, -5), rounds) for n, out, cost, rounds in values} == wanted


@pytest.mark.parametrize(
    "ranges", [((0, None),), ((1, None), (0, None)), ((2, 2), (0, 5), (1, None))]
)
def test_even_sections_may_share_out_their_rounds_as_the_search_does(ranges: Ranges) -> None:
    model = CpModel()
    parts = [EvenPart(model, Even(BODY, rounds=r), 12) for r in ranges]
    got = every_value(model, *(added([part.rounds]) for part in parts))
    least = sum(low for low, _ in ranges)
    for extra in range(12 - least):
        splits = set(every_split(ranges, extra))
        assert {split for split in got if sum(split) == least + extra} == splits
        assert shared_out(ranges, extra) == min(splits, key=lambda s: unevenness(ranges, s))


def test_a_section_that_is_full_leaves_the_rest_to_the_others() -> None:
    """Five more than 2 and 0: the first holds one, the second four."""
    assert shared_out(((2, 3), (0, None)), 5) == (3, 4)
    assert shared_out(((2, 3), (0, 1)), 3) is None


@pytest.mark.parametrize("depth", [13.5, 14.4, 15.0, 15.3, 15.6, 15.7])
def test_depth_is_within_one_round_and_priced(depth: float) -> None:
    model = CpModel()
    part = DepthPart(model, PIECE, added([micrometres(depth)]))
    got = least(model, part.cost)
    off = round(abs(depth - 15.0) * 10, 6)
    assert got == (None if off > 6 else round(off * 0.5 * 10**6))


@pytest.mark.parametrize(
    ("widths", "wanted"),
    [((40.0, 41.0), 0), ((39.0, 41.0), 10), ((41.5, 41.5), 15), ((38.4, 40.0), None)],
)
def test_the_narrowest_place_is_priced_and_every_place_is_within_tolerance(
    widths: tuple[float, float], wanted: int | None
) -> None:
    model = CpModel()
    part = AroundPart(model, PIECE)
    for width in widths:
        part.judge(added([micrometres(width)]), None, micrometres(40.0))
    got = least(model, part.cost())
    assert got == (None if wanted is None else wanted * 10**6)


def test_an_own_wish_is_priced_at_its_worst_end() -> None:
    model = CpModel()
    part = AroundPart(model, PIECE)
    for width in (49.5, 51.0):
        part.judge(added([micrometres(width)]), 7, micrometres(50.0))
    assert least(model, part.cost()) == 10 * 10**6


def test_a_width_step_is_priced_by_the_pair_that_is_chosen() -> None:
    for first in (0, 1):
        model = CpModel()
        chosen = [model.new_bool_var(str(i)) for i in range(2)]
        model.add_exactly_one(chosen)
        model.add(chosen[first] == 1)
        pair = [(chosen[0], 0.5), (chosen[1], 0.55)]
        cost = step_cost(model, PIECE, pair, [(None, 0.5)])
        assert least(model, cost) == (0, 14 * 10**6)[first]  # 10 %: 7 over 3, at 2 each


def test_an_end_costs_its_brim_nudge_and_edging() -> None:
    piece = replace(
        PIECE, sections=(*PIECE.sections, Edging(BODY, Figure((4, 4), (0, 0)), required=False))
    )
    ends = Ends(BodyPlan(piece))
    rows = [(n, row) for n in range(78, 83) for row in ends.rows(n)]
    model = CpModel()
    count = model.new_int_var(70, 90, "count")
    part = EndPart(model, rows, added([count]))
    six = round(Prices().edging * 10**6)
    wanted = {(n, 0 if n % 4 == 0 else six) for n in range(78, 83)}
    assert every_value(model, added([count]), part.cost) == wanted


def _hats() -> list[Piece]:
    crown = Crown(BODY, start_range=(7, 9), double_rounds=1)
    band = Band(BODY, Figure((6, 6), (0, 0)), rounds=(2, 2))
    give = Band(
        BODY,
        Figure((5, 7, 5), (1, 1, 1)),
        rounds=(2, 4),
        give_range=(0, 6),
        repeat_wish_cm=3.4,
        measured_repeat_cm=3.1,
        measured_give=1,
    )
    ring = replace(PIECE, sections=(crown, Even(BODY), band))
    two = replace(PIECE, sections=(crown, Even(BODY), give, Even(BODY, rounds=(1, 3)), band))
    tube = Piece(
        (replace(give, name="a"), Even(BODY), band), start="chain", around_cm=40.0, depth_cm=8.0
    )
    return [PIECE, ring, two, tube]


@pytest.mark.parametrize("number", range(4))
def test_the_whole_model_unfiltered_has_the_optimum_of_the_search(number: int) -> None:
    piece = _hats()[number]
    ways = Ways(piece)
    found = search(ways, 1).designs[0]
    answer = PieceModel(ways.plan, all_rows(ways)).solve(60)
    assert (answer.status, answer.cost) == ("optimal", found.cost)


@pytest.mark.parametrize("number", range(4))
def test_nothing_is_cheaper_than_the_optimum(number: int) -> None:
    """The optimum confirmed without an objective: 'one unit cheaper' is impossible."""
    ways = Ways(_hats()[number])
    found = search(ways, 1).designs[0]
    model = PieceModel(ways.plan, all_rows(ways))
    model.model.clear_objective()
    model.at_most(found.cost - 1)
    assert model.solve(60).status == "infeasible"


def test_a_false_list_is_caught() -> None:
    """A search that misses the best must not get past the proof."""
    from evenround.solver.fit import proven_best
    from evenround.solver.recount import InternalCheckError

    ways = Ways(PIECE)
    second = next(d for d in search(ways, 50).designs if d.cost > search(ways, 1).designs[0].cost)
    with pytest.raises(InternalCheckError, match="the model one of"):
        proven_best(ways, second.cost, deadline=float("inf"))


def test_no_time_is_no_proof_but_still_an_answer() -> None:
    answer = fit(PIECE, time_limit=1e-9)
    assert answer.status == "unproven"
    assert answer.candidates
