"""Families of sizes side by side in one run: the product, a textbook CP-SAT model, plain loops.

Run ``python tests/bench/families.py``. All sizes are invented by us. The comparison is a hat of
two bands (repeats 3 and 4), a brim and an edging of 4, without nudges, scored by circumference,
flare, brim width, part rounds, sectors and differences between sizes, so that a textbook model
can say all of it: counts, sectors and rounds as integer variables, several workers. Plain loops
try every tally and every combination, for two small sizes. Then the product alone on hats with
nudges and every price. Imports apart.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from math import asin, degrees, pi
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from exhaustive_family import all_families

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Figure,
    Gauge,
    Limits,
    Piece,
    Prices,
    Rhythm,
    Rules,
    grade,
)

WIDTH, HEIGHT = 0.5, 0.6  # cm
BODY = Gauge(WIDTH, HEIGHT)
RHYTHMS = (Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3))
ONLY = Prices(depth=0, fullness=0, slope=0, width_step=0)  # of the crown: its special rounds
WORKERS = 8
SECONDS = 120.0


def figure(repeat: int, rounds: int = 1) -> Figure:
    """A figure that leaves what it takes."""
    return Figure((repeat,) * (rounds + 1), (0,) * (rounds + 1))


def plain_hat(around: float) -> Piece:
    """A hat without nudges; two bands, so its sides are a multiple of 12."""
    return Piece(
        (
            Crown(BODY, start_range=(6, 9), sector_range=(6, 9), sectors_wished=8, rates=1),
            Band(BODY, figure(3), "eyelets"),
            Band(BODY, figure(4), "mesh"),
            Brim(BODY, 6.0, flare_deg=30.0, rhythms=RHYTHMS),
            Edging(BODY, figure(4)),
        ),
        around_cm=around,
        limits=Limits(around_cm=4.0, nudge_stitches=0),
        prices=ONLY,
    )


def whole_hat(around: float, share: float) -> Piece:
    """A hat with everything: nudges, derived rounds, every price."""
    body = Gauge(10 / 18, 10 / 13.5)
    return Piece(
        (
            Crown(body, start_range=(7, 10), sector_range=(6, 10), sectors_wished=8),
            Even(body, "sides"),
            Band(body, figure(3), "eyelets"),
            Even(body, "between", rounds=(3, None)),
            Band(body, figure(4, 2), "mesh", rounds=(2, 2)),
            Brim(body, 4.5 + 2 * share, flare_deg=30.0),
            Edging(body, figure(4)),
        ),
        around_cm=around,
        depth_cm=14.5 + 6.5 * share,
    )


def evenly(low: float, high: float, n: int) -> list[float]:
    """``n`` numbers from low to high."""
    return [round(low + (high - low) * i / (n - 1), 1) for i in range(n)]


# --- the textbook model: as one would write it without thinking of speed ------------------------


def textbook(pieces: Sequence[Piece]) -> int:
    """The cheapest family of plain hats, in 1e-6 mm, by integer variables alone."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    start = model.new_int_var(6, 9, "start and crown sectors")
    block = model.new_int_var(1, 3, "brim block")
    flared = [(g, r, _brim_cost(g, r)) for r in (9, 10, 11) for g in range(1, 200) if _flares(g, r)]
    costs, parts, brims = [], [], []
    for piece in pieces:
        count = model.new_int_var(1, 200, "count")
        full, rounds = model.new_int_var(1, 200, "full"), model.new_int_var(2, 40, "rounds")
        part, has_part = model.new_int_var(0, 8, "part"), model.new_bool_var("part round")
        model.add_multiplication_equality(full, [start, rounds])
        model.add(count == full + part)
        model.add(part >= 2).only_enforce_if(has_part)
        model.add(part == 0).only_enforce_if(~has_part)
        model.add(part < start)
        divisor = model.new_int_var(1, 8, "part or one")
        model.add_max_equality(divisor, [part, 1])
        model.add_modulo_equality(0, full, divisor)
        model.add_modulo_equality(0, count, 3)
        model.add_modulo_equality(0, count, 4)
        miss = model.new_int_var(0, 40_000, "miss in micrometres")
        wish = round((piece.around_cm or 0) * 10_000)
        model.add_abs_equality(miss, count * round(WIDTH * 10_000) - wish)
        brim, times = model.new_int_var(6, 16, "brim sectors"), model.new_int_var(1, 20, "times")
        long, grown = model.new_int_var(9, 11, "brim rounds"), model.new_int_var(1, 199, "grown")
        model.add_modulo_equality(0, count, brim)
        model.add_multiplication_equality(grown, [brim, times])
        shape = model.new_int_var(0, 10**8, "cost of flare and width")
        model.add_allowed_assignments([grown, long, shape], flared)
        spread = model.new_int_var(0, 60, "rounds before the last increase")
        model.add_multiplication_equality(spread, [times - 1, block])
        model.add(spread + 2 <= long)  # the last round is firm
        edge = model.new_int_var(1, 500, "edge")
        model.add(edge == count + grown)
        model.add_modulo_equality(0, edge, 4)
        costs.append(1000 * miss + 3_000_000 * has_part + shape)
        parts.append(has_part)
        brims.append(brim)
    off = model.new_int_var(0, 3, "sectors off the wish")
    model.add_abs_equality(off, start - 8)
    odd = model.new_int_var(0, len(pieces), "sizes whose crown ends another way")
    model.add_min_equality(odd, [sum(parts), len(pieces) - sum(parts)])
    occur = []
    for number in range(6, 17):
        some = model.new_bool_var("occurs")
        for brim in brims:
            this = model.new_bool_var("this")
            model.add(brim == number).only_enforce_if(this)
            model.add(brim != number).only_enforce_if(~this)
            model.add_implication(this, some)
        occur.append(some)
    further = 1_000_000 * (sum(occur) - 1)
    model.minimize(sum(costs) + 2_000_000 * (len(pieces) * off + odd) + further)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.max_time_in_seconds = SECONDS
    status = solver.solve(model)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else -1


def _off(grown: int, rounds: int) -> float:
    """Degrees off a flare of 30."""
    sine = grown * WIDTH / (2 * pi) / (rounds * HEIGHT)
    return abs(degrees(asin(min(sine, 1.0))) - 30)


def _flares(grown: int, rounds: int) -> bool:
    return _off(grown, rounds) <= 10 + 1e-9


def _brim_cost(grown: int, rounds: int) -> int:
    """Half a millimetre a degree, and half for each of width, in 1e-6 mm."""
    width = abs(rounds * round(HEIGHT * 10_000) - 60_000)
    return round(0.5 * _off(grown, rounds) * 1_000_000) + 500 * width


# --- side by side -------------------------------------------------------------------------------


def forget() -> None:
    """Drop the tables that runs in one process have in common, as a fresh process would."""
    tables = [
        each
        for name, module in sys.modules.items()
        if name.startswith("evenround.solver.")
        for each in vars(module).values()
        if hasattr(each, "cache_clear")
    ]
    for table in tables:
        table.cache_clear()


def timed(work: Callable[[], int]) -> tuple[float, int]:
    """Seconds and answer, without what earlier runs left behind."""
    forget()
    begin = perf_counter()
    found = work()
    return perf_counter() - begin, found


def best_cost(pieces: Sequence[Piece], best: int) -> int:
    """Cost of the first of the ``best`` families, proven."""
    answer = grade(pieces, best=best, time_limit=SECONDS)
    assert answer.status == "proven", answer.status
    return answer.families[0].cost_nm


def by_loops(pieces: Sequence[Piece]) -> int:
    """The same by plain loops."""
    return all_families(pieces, Rules(), 56)[0].cost


def main() -> None:
    for library in ("numpy", "ortools.sat.python.cp_model"):
        import_module(library)
    grade([plain_hat(24.0)], best=1)
    print("Without nudges    product:           textbook   loops      optimum in mm")
    print("                  best one  best 5   best one   all")
    for n, low, high in ((2, 18.0, 24.0), (9, 40.0, 62.0), (24, 40.0, 62.0)):
        pieces = [plain_hat(around) for around in evenly(low, high, n)]
        mine, cost = timed(partial(best_cost, pieces, 1))
        five, same = timed(partial(best_cost, pieces, 5))
        assert same == cost, (same, cost)
        book, other = timed(partial(textbook, pieces))
        line = f"{n:2d} sizes         {mine:7.3f} s {five:7.3f} s {book:7.2f} s"
        if n == 2:
            loops, third = timed(partial(by_loops, pieces))
            assert third == cost, (third, cost)
            line += f" {loops:7.2f} s"
        else:
            line += "         -"
        assert other in (cost, -1), (other, cost)
        print(line, f"{cost / 1e6:11.3f}", "textbook ran out of time" if other == -1 else "agree")
    print()
    print("With nudges and every price     product: the best 5, and per size")
    for n in (3, 6, 9, 12, 18, 24):
        shares = evenly(0.0, 1.0, n)
        pieces = [whole_hat(41 + 22 * share, share) for share in shares]
        mine, cost = timed(partial(best_cost, pieces, 5))
        print(f"{n:2d} sizes {mine:30.3f} s {mine / n:7.3f} s   {cost / 1e6:.3f} mm")


if __name__ == "__main__":
    main()
