"""The second opinion: a piece as a textbook constraint model, written straight from what is asked.

It shares no tables, no prices, no search and no feasibility functions with the rest of the
solver: counts, sectors and rounds are plain integer variables. It asks only whether a design
exists, never which is best, and is what an "impossible" is confirmed by before anybody sees it.
Ortools is imported late.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from .piece import Band, Brim, Crown, Edging, Even, Gauge, Piece
from .textbook_book import MOST_COUNT
from .textbook_end import EndBook
from .units import micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver

Verdict = Literal["possible", "impossible", "unknown"]


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """A verdict and, where it is "possible", a design: for every section and nudge in order
    ``(name, rounds, count before, count after)``."""

    verdict: Verdict
    sections: tuple[tuple[str, int, int, int], ...] = ()


def second_opinion(piece: Piece, seconds: float = 2.0) -> SecondOpinion:
    """Whether any design meets every requirement, within a time limit in seconds."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    book = Textbook(model, piece)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.cp_model_presolve = False
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return SecondOpinion("possible", tuple(book.read(solver)))
    return SecondOpinion("impossible" if status == cp_model.INFEASIBLE else "unknown")


class Textbook(EndBook):
    """The variables and constraints of one piece."""

    def __init__(self, model: CpModel, piece: Piece) -> None:
        super().__init__(model, piece)
        sections = list(piece.sections)
        gauge: Gauge | None = None
        if isinstance(sections[0], Crown):
            now, gauge = self.crown(sections[0]), sections[0].gauge
        else:
            now = self.whole(1, MOST_COUNT, "chain")
        end = [s for s in sections if isinstance(s, Brim | Edging)]
        now = self.body([s for s in sections if isinstance(s, Even | Band)], now, gauge, bool(end))
        self.end(end, now)
        self._depth()
        self._apart()

    def _depth(self) -> None:
        wish = self.piece.depth_cm
        if wish is None:
            return
        limit = self.piece.limits.depth_cm
        if limit is None:
            sections = self.piece.sections
            first = next((s for s in sections if isinstance(s, Even)), sections[0])
            limit = first.gauge.height_cm
        um, off = micrometres(wish), micrometres(limit)
        self.model.add_linear_constraint(self.depth_of_hat, um - off, um + off)

    def _apart(self) -> None:
        """Nudges stand so many rounds from one another."""
        apart = self.piece.limits.nudge_apart
        for index, (used, number) in enumerate(self.nudged):
            for other, further in self.nudged[index + 1 :]:
                self.model.add(further - number >= apart).only_enforce_if([used, other])

    def read(self, solver: CpSolver) -> Iterable[tuple[str, int, int, int]]:
        """Every section and nudge that is worked: name, rounds, count before and after."""
        for each in self.worked:
            rounds = solver.value(each.rounds)
            if rounds or each.name != "nudge":
                yield each.name, rounds, solver.value(each.before), solver.value(each.after)
