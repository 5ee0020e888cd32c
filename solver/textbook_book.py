"""The second opinion's variables: what its parts share.

Nothing here comes from the search's tables, prices or feasibility functions.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .piece import Piece
from .units import micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr

MOST_COUNT = 2000
MOST_ROUNDS = 400


@dataclass(frozen=True, slots=True)
class Worked:
    """A section or nudge as variables."""

    name: str
    rounds: LinearExpr
    before: LinearExpr
    after: LinearExpr


class Book:
    """The model of one piece, as far as it has been written."""

    def __init__(self, model: CpModel, piece: Piece) -> None:
        self.model, self.piece = model, piece
        self.worked: list[Worked] = []
        self.nudged: list[tuple[IntVar, LinearExpr]] = []  # whether, and in which round
        self.plain_crown: IntVar | None = None
        self.depth = self.total()
        self.number = self.total()  # rounds so far
        self.judged = False

    def total(self, *terms: LinearExpr | int) -> LinearExpr:
        """A sum, an expression even of nothing."""
        from ortools.sat.python.cp_model import LinearExpr

        return LinearExpr.sum(list(terms))

    def whole(self, low: int, high: int, name: str) -> IntVar:
        """A whole number, both ends included."""
        return self.model.new_int_var(low, high, name)

    def flag(self, name: str) -> IntVar:
        """A yes or no."""
        return self.model.new_bool_var(name)

    def divides(self, divisor: LinearExpr, count: LinearExpr) -> None:
        """The divisor, positive, goes into the count."""
        self.model.add_modulo_equality(0, count, divisor)

    def among(self, var: LinearExpr, values: Iterable[int], when: Iterable[IntVar] = ()) -> None:
        """A value is one of these (where all of ``when`` hold)."""
        from ortools.sat.python.cp_model import Domain

        allowed = self.model.add_linear_expression_in_domain(var, Domain.from_values(list(values)))
        when = list(when)
        if when:
            allowed.only_enforce_if(when)

    def near(self, wish_cm: float | None, width_cm: float) -> list[int] | None:
        """Counts whose circumference lies within tolerance of a wish; None where any may be."""
        if wish_cm is None:
            return None
        limit, wish = micrometres(self.piece.limits.around_cm), micrometres(wish_cm)
        most = round((wish + limit) / (10_000 * width_cm)) + 2
        return [n for n in range(most) if abs(micrometres(n * width_cm) - wish) <= limit]
