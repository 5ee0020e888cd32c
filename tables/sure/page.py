"""How sure each candidate is, in words and columns: what ``fit --steady`` adds to its answer."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from evenround.solver.candidate import Candidate
from evenround.solver.sure import RANGE, Heads, Sure, heads_served
from evenround.solver.sure_fit import Steady
from evenround.tables.comparison import comparison_table, heading
from evenround.tables.export import candidate_record, rounded, to_markdown
from evenround.tables.layout import paragraph
from evenround.tables.plan import Plan, Unit
from evenround.tables.safe import fenced, frame_csv, in_markdown
from evenround.tables.underneath import underneath
from evenround.tables.words import in_unit, length, listed, shortly

if TYPE_CHECKING:
    from pandas import DataFrame

SIGN = "~"
ORDER = "Steadiest first: by the chance of coming within tolerance, then the score."
UNPROVEN = "NOT PROVEN: time ran out, and others may be steadier."


def heads_of(plan: Plan, candidate: Candidate) -> Heads | None:
    """The heads a candidate's hat serves; None for a piece without a head."""
    if plan.head_cm is None:
        return None
    limit = plan.piece.limits.around_cm
    return heads_served(candidate.measures.around_cm, plan.ease_cm or 0.0, limit, plan.stretch)


def steady_words(
    plan: Plan, candidate: Candidate, sure: Sure, unit: Unit, plain_rank: int | None
) -> str:
    """``66 in 100 in tolerance; 19 of 20: 55.1 to 61.0 cm, depth 18.5 to 21.1; heads 55.9 to
    58.9; pick 3``."""
    parts = [] if sure.per_cent is None else [f"{sure.per_cent} in 100 in tolerance"]
    low, high = length(sure.low_cm, unit), length(sure.high_cm, unit)
    parts.append(f"19 of 20: {low} to {high} {unit}{_depth_words(sure, unit)}")
    heads = heads_of(plan, candidate)
    if heads is not None:
        parts.append(heads_words(heads, unit))
    if plain_rank is not None and plain_rank != candidate.rank:
        parts.append(f"pick {plain_rank}")
    return "; ".join(parts)


def _depth_words(sure: Sure, unit: Unit) -> str:
    """``, depth 18.5 to 21.1``; nothing where it is not known."""
    if sure.depth_low_cm is None or sure.depth_high_cm is None:
        return ""
    return f", depth {length(sure.depth_low_cm, unit)} to {length(sure.depth_high_cm, unit)}"


def heads_words(heads: Heads, unit: Unit) -> str:
    """``heads 55.9 to 58.9``."""
    if not heads.any:
        return "no heads, it gives too little"
    return f"heads {length(heads.low_cm, unit)} to {length(heads.high_cm, unit)}"


def steady_page(plan: Plan, steady: Steady, unit: Unit, format: str) -> list[str]:
    """The blocks of the page: heading, table, what the new line says, and what stands below."""
    found = steady.fit
    order = ORDER if found.status == "proven" else UNPROVEN
    title = heading(plan, found, unit, order)
    blocks = [in_markdown(title) if format == "markdown" else title]
    lines = [
        steady_words(plan, c, sure, unit, rank)
        for c, sure, rank in zip(found.candidates, steady.sure, steady.plain_ranks, strict=True)
    ]
    legend = steady_legend(plan, unit, picks=any("; pick " in line for line in lines))
    if format == "markdown":
        each = [f"{SIGN} #{c.rank}: {w}" for c, w in zip(found.candidates, lines, strict=True)]
        below = underneath(plan, found, unit, signs=False)
        words = "\n".join(paragraph(line, indent="  ", first="") for line in each)
        text = fenced(f"{words}\n\n{legend}\n\n{below}")
        blocks += [to_markdown(plan, found, unit), text]
        return blocks
    blocks.append(comparison_table(plan, found, unit, [f"{SIGN} {line}" for line in lines]))
    return [*blocks, legend, underneath(plan, found, unit)]


def steady_legend(plan: Plan, unit: Unit, *, picks: bool = False) -> str:
    """What the steady line rests on: which spread, what slips together, which heads count; and,
    with ``picks``, what a pick is."""
    limit = shortly(plan.piece.limits.around_cm, unit)
    sentences = [
        f"{SIGN} how sure: the gauge of the worked piece is taken as normal about the stated "
        f"one, standard deviation {listed(list(plan.spread_words))}. Sections of one stitch slip "
        f"together. In tolerance: give or take {limit} {unit} wherever it is judged; chances in "
        "whole per cent. 19 of 20: that many come out between these, around and, apart from that, "
        "in depth from crown to brim."
    ]
    if plan.head_cm is not None:
        most = f"the one it is {limit} {unit} small for"
        if plan.stretch is not None:
            most = f"the one that stretches it by {100 * plan.stretch:.3g} %"
        sentences.append(
            f"Heads, at the stated gauge and with the ease asked for: from the one it is {limit} "
            f"{unit} large for to {most}."
        )
    if picks:
        sentences.append("Pick: its rank by score alone, as `evenround write --pick` counts.")
    return paragraph(" ".join(sentences), indent="  ", first="")


def steady_record(
    plan: Plan, candidate: Candidate, sure: Sure, plain_rank: int | None
) -> dict[str, Any]:
    """The ``steady`` keys of a candidate; lengths in cm, the chance as a share of 1."""
    heads = heads_of(plan, candidate)
    served = heads is not None and heads.any
    return {
        "steady": {
            "chance": None if sure.chance is None else round(sure.chance, 6),
            "plain_rank": plain_rank,
            "range_share": RANGE,
            "circumference_low_cm": round(sure.low_cm, 3),
            "circumference_high_cm": round(sure.high_cm, 3),
            "depth_low_cm": None if sure.depth_low_cm is None else round(sure.depth_low_cm, 3),
            "depth_high_cm": None if sure.depth_high_cm is None else round(sure.depth_high_cm, 3),
            "head_low_cm": round(heads.low_cm, 3) if heads and served else None,
            "head_high_cm": round(heads.high_cm, 3) if heads and served else None,
            "spread": list(plan.spread_words),
            "stretch": plan.stretch,
        }
    }


def _records(plan: Plan, steady: Steady) -> list[dict[str, Any]]:
    found = zip(steady.fit.candidates, steady.sure, steady.plain_ranks, strict=True)
    return [steady_record(plan, c, sure, rank) for c, sure, rank in found]


def steady_json(plan: Plan, steady: Steady) -> str:
    """The list of candidates as ``fit`` gives it, each with its ``steady`` keys."""
    rows = [
        candidate_record(plan, c) | record
        for c, record in zip(steady.fit.candidates, _records(plan, steady), strict=True)
    ]
    return json.dumps(rows, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def steady_csv(plan: Plan, steady: Steady, unit: Unit) -> str:
    """The rows of ``fit``, with eight columns more."""
    return frame_csv(steady_frame(plan, steady, unit))


def steady_frame(plan: Plan, steady: Steady, unit: Unit) -> DataFrame:
    """The frame of ``fit``, rounded as in its CSV, with eight columns more."""
    from evenround.tables.frame import candidates_frame

    frame = rounded(candidates_frame(plan, steady.fit, unit))
    _add_columns(frame, [record["steady"] for record in _records(plan, steady)], unit)
    return frame


def _add_columns(frame: DataFrame, records: Sequence[dict[str, Any]], unit: Unit) -> None:
    """Chance (a share of 1), ranges, heads, and the rank by score alone; empty where they do not
    apply."""
    places = 2 if unit == "cm" else 3
    frame["chance"] = [None if r["chance"] is None else round(r["chance"], 4) for r in records]
    for name in (
        "circumference_low",
        "circumference_high",
        "depth_low",
        "depth_high",
        "head_low",
        "head_high",
    ):
        values = [record[f"{name}_cm"] for record in records]
        frame[f"{name}_{unit}"] = [
            None if value is None else round(in_unit(value, unit), places) for value in values
        ]
    ranks = [record["plain_rank"] for record in records]
    frame["plain_rank"] = type(frame["chance"])(ranks, dtype="Int64", index=frame.index)
