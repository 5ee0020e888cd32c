"""The candidates of one size as a workbook: themselves, near misses, every round, the brief."""

from __future__ import annotations

from typing import TYPE_CHECKING

from evenround.solver.candidate import Fit

from .export import rounded
from .frame import candidates_frame
from .plan import Plan, Unit
from .reasons import breach_words, mend_words, notice_words
from .remarks import shared_notices
from .sheets import Column, Sheet, column, frame_sheet, sheet_names, text_column, workbook
from .sheets_common import BRIEF, ROUNDS, brief_sheet, length, plan_sentences, round_rows
from .sheets_common import rounds_sheet as rounds_of
from .underneath import exact_gauge
from .words import clean, over_words

if TYPE_CHECKING:
    from pandas import DataFrame

NEAR = "Near misses"


def fit_workbook(plan: Plan, fit: Fit, unit: Unit, frame: DataFrame | None = None) -> bytes:
    """The file. ``frame`` stands in for the candidates' own, where it says more of them."""
    if frame is None:
        frame = rounded(candidates_frame(plan, fit, unit))
    name = sheet_names([clean(plan.size)], (NEAR, ROUNDS, BRIEF))[0]
    sheets = [frame_sheet(name, frame.drop(columns=["size", "assumed"]))]
    if fit.near_misses:
        sheets.append(near_sheet(plan, fit, unit))
    rows = (row for each in fit.candidates for row in round_rows((each.rank,), plan, each, unit))
    sheets.append(rounds_of((column("rank"),), rows, unit))
    said = [("warning", notice_words(notice)) for notice in shared_notices(fit.candidates)]
    sheets.append(brief_sheet([plan], [*said, *plan_sentences(plan)], unit))
    return workbook(sheets, clean(plan.title))


def near_sheet(plan: Plan, fit: Fit, unit: Unit) -> Sheet:
    """The counts just outside one requirement."""
    columns = (
        column("stitches"),
        column(f"around_{unit}"),
        column(f"miss_{unit}"),
        Column(f"exact at, sts / {over_words(plan)}", "0.00"),
        text_column("what it breaks"),
        text_column("what would mend it"),
    )
    rows = tuple(
        (
            miss.side_count,
            length(miss.around_cm, unit),
            length(miss.miss_cm, unit),
            round(exact_gauge(plan, miss), 2),
            breach_words(miss.breach, unit),
            mend_words(miss, unit),
        )
        for miss in fit.near_misses
    )
    return Sheet(NEAR, columns, rows)
