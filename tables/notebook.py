"""Results in a notebook: the candidates as a table, the best of them drawn.

``shown(plan, fit)`` or ``shown(graded)`` is an object that notebooks show by themselves. Promises
that no text of a brief becomes markup, and that nothing is fetched from anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, overload

from evenround.solver.candidate import Candidate, Fit

from .plan import Plan, Unit
from .words import clean

if TYPE_CHECKING:
    from pandas import DataFrame

    from .family import Graded

NOTHING = "No design meets every requirement."


@dataclass(frozen=True)
class Shown:
    """A result to look at: its ``title``, its ``frame`` (rounded as in the CSV; empty columns left
    out) and the ``drawings``, SVG texts, that go with it."""

    title: str
    frame: DataFrame
    drawings: tuple[str, ...]

    def _repr_html_(self) -> str:
        """The whole as HTML."""
        if self.frame.empty:
            return f"<h3>{escape(self.title)}</h3>\n<p>{NOTHING}</p>"
        table = self.frame.to_html(index=False, na_rep="", border=0, escape=True)
        drawn = [f"<figure>{svg}</figure>" for svg in self.drawings]
        return "\n".join([f"<h3>{escape(self.title)}</h3>", table, *drawn])

    def __repr__(self) -> str:
        if self.frame.empty:
            return f"{self.title}\n{NOTHING}"
        return f"{self.title}\n{self.frame.to_string(index=False, na_rep='')}"


@overload
def shown(result: Plan, fit: Fit, unit: Unit | None = None) -> Shown: ...
@overload
def shown(result: Graded) -> Shown: ...
def shown(result: Plan | Graded, fit: Fit | None = None, unit: Unit | None = None) -> Shown:
    """What a notebook shows of a plan and its fit, or of a family of sizes.

    ``unit`` is that of lengths (default: the brief's); a Graded has its own. Raises TypeError for
    a plan without its fit.
    """
    if not isinstance(result, Plan):
        return _families(result)
    if fit is None:
        raise TypeError("shown(plan, fit): a plan comes with its fit")
    from .frame import candidates_frame

    unit = unit or result.unit
    size = f", {clean(result.size)}" if len(result.sizes) > 1 else ""
    drawn = _drawn(result, fit.candidates[0], unit) if fit.candidates else ()
    frame = candidates_frame(result, fit, unit)
    return Shown(f"{clean(result.title)}{size}", _readable(frame), drawn)


def _families(graded: Graded) -> Shown:
    """The families, and every size of the first drawn."""
    from .family import families_frame

    families = graded.grade.families
    best = families[0].members if families else ()
    pairs = zip(graded.plans, best, strict=False)
    drawings = tuple(svg for plan, each in pairs for svg in _drawn(plan, each, graded.unit))
    return Shown(clean(graded.plans[0].title), _readable(families_frame(graded)), drawings)


def _readable(frame: DataFrame) -> DataFrame:
    """Rounded, without the columns that are empty."""
    from .export import rounded

    return rounded(frame).dropna(axis="columns", how="all")


def _drawn(plan: Plan, candidate: Candidate, unit: Unit) -> tuple[str, ...]:
    """The hat from the side."""
    from .draw import side_view

    return (side_view(plan, candidate, unit),)
