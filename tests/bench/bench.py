"""How long things take, as ratios in one run and in seconds. Run it by hand:

    python tests/bench/bench.py [runs]

Whole processes are measured interleaved, so that a busy moment falls on all of them, and against
the bare import of CP-SAT's Python module in the same run; medians of several runs. Nothing here
passes or fails: times differ from machine to machine, ratios much less.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from shutil import which
from statistics import median
from subprocess import run
from time import perf_counter

from evenround.solver import Band, Crown, Even, Figure, Gauge, Piece, fit
from evenround.solver.model import PieceModel, rows_that_matter
from evenround.solver.near import near_misses
from evenround.solver.search import search
from evenround.solver.ways import Ways
from evenround.tables.brief import example_brief, plan

BARE = "import of cp_model alone"
EVENROUND = (which("evenround", path=str(Path(sys.executable).parent)) or "evenround",)
PROCESSES: dict[str, Sequence[str]] = {
    BARE: (sys.executable, "-c", "from ortools.sat.python import cp_model"),
    "fit --example garden": (*EVENROUND, "fit", "--example", "garden"),
    "--help": (*EVENROUND, "--help"),
    "sample": (*EVENROUND, "sample"),
}
BEST = 20


@dataclass(frozen=True)
class Timed:
    """Seconds of one piece: twenty best, the model's proof, near misses, and all of fit."""

    search: float
    proof: float
    near: float
    whole: float


def seconds(work: Callable[[], object]) -> float:
    """Seconds of one call."""
    before = perf_counter()
    work()
    return perf_counter() - before


def processes(runs: int) -> dict[str, float]:
    """Median seconds of whole processes, one of each in turn, ``runs`` times."""
    took: dict[str, list[float]] = {name: [] for name in PROCESSES}
    for _ in range(runs + 1):
        for name, command in PROCESSES.items():
            took[name].append(seconds(partial(run, command, check=True, capture_output=True)))
    return {name: median(times[1:]) for name, times in took.items()}  # the first warms the disk


def pieces() -> dict[str, Piece]:
    """Garden, bucket, a plain hat, and a heavier piece."""
    garden = plan(example_brief("garden")).piece
    bucket = plan(example_brief("bucket"), "adult S/M").piece
    body = Gauge(10 / 18, 10 / 14)
    crown, even = Crown(body, start_range=(7, 10)), Even(body)
    plain = Piece((crown, even), around_cm=55.0, depth_cm=20.5)
    eyelets = Band(body, Figure((3, 3, 3), (0, 0, 0)), name="eyelets", rounds=(2, 2))
    two_bands = (replace(crown, double_rounds=2), even, eyelets, *garden.sections[1:])
    heavy = replace(garden, sections=two_bands, depth_cm=21.0)
    return {"garden": garden, "bucket": bucket, "plain hat": plain, "two bands": heavy}


def in_process(piece: Piece) -> Timed:
    """Seconds of each step on fresh tables."""
    ways = Ways(piece)
    listed = []
    searching = seconds(lambda: listed.append(search(ways, BEST)))
    cost = listed[0].designs[0].cost

    def prove() -> None:
        model = PieceModel(ways.plan, rows_that_matter(ways, cost))
        model.at_most(cost)
        answer = model.solve(60.0)
        if answer.cost != cost:
            raise SystemExit(f"the model found {answer.cost}, the search {cost}")

    return Timed(
        searching,
        seconds(prove),
        seconds(lambda: near_misses(ways)),
        seconds(lambda: fit(piece, best=BEST)),
    )


def medians(piece: Piece, runs: int) -> Timed:
    """Median of each step over several runs."""
    each = [in_process(piece) for _ in range(runs)]
    return Timed(
        median(t.search for t in each),
        median(t.proof for t in each),
        median(t.near for t in each),
        median(t.whole for t in each),
    )


def main(runs: int) -> None:
    """Print both tables."""
    print(f"whole processes, median of {runs}")
    whole = processes(runs)
    for name, took in whole.items():
        print(f"  {name:26} {took:7.3f} s  {took / whole[BARE]:6.2f} x the import")
    print(f"\nin process, imports apart, median of {runs}, milliseconds")
    print(f"  {'':14} {BEST} best    proof     near      fit")
    in_process(pieces()["plain hat"])  # imports ortools before anything is measured
    for name, piece in pieces().items():
        timed = medians(piece, runs)
        steps = (timed.search, timed.proof, timed.near, timed.whole)
        print(f"  {name:14}" + "".join(f"{1000 * step:8.1f} " for step in steps))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
