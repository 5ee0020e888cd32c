"""How long it takes to say why nothing fits, in one run: nine impossible sizes.

Run ``python tests/bench/why.py [runs]``. The briefs are invented by us: nine sizes of one hat, of
twelve requirements and of sixteen, of which none can be made. Every part of the answer is
timed over all nine sizes, imports apart and on fresh tables, and set against the bare import of
CP-SAT's Python module; then the conflicts are found once more by a textbook model in place of
the search, asked the same questions; then the whole command. Medians of several runs. Nothing
here passes or fails.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from typing import TypeVar

from bench import BARE, EVENROUND, PROCESSES, seconds
from families import forget

from evenround.solver.exists import can_be_made
from evenround.solver.near import near_misses
from evenround.solver.piece import Piece
from evenround.solver.requirements import asked_for
from evenround.solver.textbook import second_opinion
from evenround.solver.ways import Ways
from evenround.solver.ways_out import ways_out
from evenround.solver.why import conflicts_of
from evenround.tables.brief import Brief, plan, read_brief
from evenround.tables.why.edits import bare_sections
from evenround.tables.why.explained import explain_all
from evenround.tables.why.promised import promised

HEADS = (38, 40.5, 43, 45, 48, 51, 54, 57, 60)
HAT = """\
title = "Withy Carr, a brimmed hat in nine sizes"
stitch = "hdc"
ease = 1
sizes = [{sizes}]

[gauge]
hdc = "18 x 13.5 / 10cm"
sc = "19 x 20 / 10cm"

[tolerances]
circumference = 0.4
flare = 4
depth = 0.6

[nudge]
stitches = {nudge}

[[sections]]
kind = "crown"
sectors = 8
sector_range = [8, {sectors}]
rates = {rates}
part_round = {part_round}

[[sections]]
kind = "even"
name = "sides"

[[sections]]
kind = "band"
name = "shells"
rounds = 4
{band}
[[sections]]
kind = "brim"
stitch = "sc"
flare = 35
sector_range = [7, 7]
{rhythms}
firm_rounds = {firm}
"""
EDGING = """
[[sections]]
kind = "edging"
repeat = 5
"""
Answer = TypeVar("Answer")


def sizes() -> str:
    """Nine sizes, each with its depth and the width of its brim."""
    return ", ".join(
        f'{{ name = "{n}", head = {head}, depth = {0.36 * head:.1f}, brim_width = {4 + n / 4} }}'
        for n, head in enumerate(HEADS, 1)
    )


def texts() -> tuple[str, str]:
    """The two briefs."""
    seldom = 'rhythms = ["every second", "every third"]'
    return (
        HAT.format(
            sizes=sizes(),
            nudge=0,
            sectors=8,
            rates=2,
            part_round="true",
            firm=1,
            rhythms="",
            band="counts = [6, 6, 6]\n",
        ),
        HAT.format(
            sizes=sizes(),
            nudge=0,
            sectors=9,
            rates=1,
            part_round="false",
            firm=2,
            rhythms=seldom,
            band="counts = [6, 6, 6]\nrepeat_width = 3.3\n",
        )
        + EDGING,
    )


def parts(brief: Brief) -> dict[str, float]:
    """Seconds of every part of the answer, over all sizes."""
    took: dict[str, float] = {}

    def timed(name: str, work: Callable[[], Answer]) -> Answer:
        answer: list[Answer] = []
        took[name] = took.get(name, 0.0) + seconds(lambda: answer.append(work()))
        return answer[0]

    for size in brief.sizes:
        asked = plan(brief, size)
        piece, ways = asked.piece, Ways(asked.piece)
        if timed("verdict", partial(can_be_made, piece)):
            raise SystemExit(f"size {size} can be made")
        if timed("second opinion", partial(second_opinion, piece)).verdict != "impossible":
            raise SystemExit(f"size {size}: the second opinion did not confirm it")
        conflicts = [c.requirements for c in timed("conflicts", partial(conflicts_of, piece))]
        misses = timed("near misses", partial(near_misses, ways))
        bare = bare_sections(asked)
        found = timed("ways out", partial(ways_out, ways, misses, conflicts, bare=bare))
        timed("written, solved", partial(promised, brief, asked, found))
    return took


def conflicts_by(brief: Brief, possible: Callable[[Piece], bool]) -> list[object]:
    """The conflicts of every size, by whoever says what can be made."""
    return [conflicts_of(plan(brief, size).piece, possible) for size in brief.sizes]


def by_textbook(piece: Piece) -> bool:
    """Whether a piece can be made, by the textbook model alone."""
    return second_opinion(piece, 60.0).verdict == "possible"


def medians(runs: int, work: Callable[[], dict[str, float]]) -> dict[str, float]:
    """Median of each part over several runs, each on fresh tables."""
    each = []
    for _ in range(runs):
        forget()
        each.append(work())
    return {name: median(one[name] for one in each) for name in each[0]}


def whole(brief: Brief) -> dict[str, float]:
    """Seconds of the whole answer in process."""
    return {"all of it": seconds(partial(explain_all, brief, brief.sizes, seconds=10.0))}


def process(command: Sequence[str], runs: int) -> float:
    """Median seconds of a whole process."""
    return median(
        seconds(partial(run, command, check=True, capture_output=True)) for _ in range(runs)
    )


def main(runs: int) -> None:
    """A table for each brief."""
    bare = process(PROCESSES[BARE], runs)
    print(f"{BARE}: {bare:.3f} s, median of {runs}")
    for text in texts():
        brief = read_brief(text.encode(), "the bench")
        wanted = {len(asked_for(plan(brief, size).piece)) for size in brief.sizes}
        print(f"\nnine impossible sizes of {max(wanted)} requirements")
        took = medians(runs, partial(parts, brief)) | medians(runs, partial(whole, brief))
        with TemporaryDirectory() as folder:
            path = Path(folder) / "brief.toml"
            path.write_text(text)
            took["whole command"] = process((*EVENROUND, "why", str(path)), runs)
        for part, each in took.items():
            print(f"  {part:16} {each:7.3f} s {each / bare:6.2f} x the import")
        slow = seconds(partial(conflicts_by, brief, by_textbook)) / took["conflicts"]
        print(f"  conflicts, the textbook model asked in place of the search: {slow:.0f} x as long")
        if conflicts_by(brief, by_textbook) != conflicts_by(brief, can_be_made):
            raise SystemExit("the textbook model finds other conflicts than the search")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
