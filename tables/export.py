"""The candidates for other programs and documents: JSON, CSV and Markdown."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from evenround.solver.candidate import PARTS, BandMeasure, Candidate, Fit
from evenround.solver.tally import SectionTally

from .frame import candidates_frame
from .plan import Plan, Unit
from .reasons import notice_words
from .safe import fenced, frame_csv, in_markdown
from .words import clean, rhythm_words

if TYPE_CHECKING:
    from pandas import DataFrame

PLACES = {"cm": 2, "in": 3, "mm": 2, "deg": 1, "fullness": 3, "g": 1, "m": 1}

MARKDOWN_COLUMNS = {
    "rank": "#",
    "circumference": "around",
    "circumference_miss": "off",
    "side_count": "stitches",
    "repeats": "repeats",
    "crown": "crown",
    "stop_round": "stops rnd",
    "nudges": "nudges",
    "band1_repeat_width": "repeat width",
    "brim_sectors": "brim sectors",
    "brim_rhythm": "rhythm",
    "final_count": "ends on",
    "edge": "edge",
    "depth_miss": "depth off",
    "flare_deg": "flare",
    "fullness": "fullness",
    "score_mm": "score mm",
    "remark": "remark",
}
"""Columns of the Markdown table in reading order and their headings; empty ones are left out."""


def to_json(plan: Plan, fit: Fit) -> str:
    """A JSON list of candidates, lengths always in cm (3 places), the score to 6 places."""
    rows = [candidate_record(plan, candidate) for candidate in fit.candidates]
    return json.dumps(rows, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def candidate_record(plan: Plan, c: Candidate) -> dict[str, Any]:
    """One candidate as plain data; None where nothing applies. Our own keys stand last."""
    m, tally, crown = c.measures, c.tally, c.tally.crown
    rates = tally.crown_rates
    return {
        "rank": c.rank,
        "score_mm": round(m.score_mm, 6),
        "score_parts": {part: round(m.score_parts.get(part, 0.0), 6) for part in PARTS},
        "pareto": c.pareto,
        "start": tally.start,
        "sectors": crown.sectors if crown else None,
        "crown": None if rates is None else [list(rate) for rate in rates],
        "stop_round": tally.stop_round,
        "side_count": m.side_count,
        "final_count": tally.round_counts[-1],
        "circumference_cm": _cm(m.around_cm),
        "circumference_miss_cm": _cm(m.around_miss_cm),
        "depth_cm": _cm(m.depth_cm),
        "brim_cm": _cm(m.brim_cm),
        "flare_deg": _cm(m.flare_deg),
        "fullness": _cm(m.fullness),
        "nudges": [
            {"before": n.before, "round": n.round, "count_in": n.count_in, "change": n.change}
            for n in m.nudges
        ],
        "tally": [_section(section) for section in tally.sections],
        "round_counts": list(tally.round_counts),
        "warnings": [notice_words(notice) for notice in m.notices],
    } | _own_keys(plan, c)


def _own_keys(plan: Plan, c: Candidate) -> dict[str, Any]:
    m, brim = c.measures, c.tally.brim
    return {
        "size": plan.size,
        "circumference_wish_cm": _cm(m.around_wish_cm),
        "depth_miss_cm": _cm(m.depth_miss_cm),
        "crown_across_cm": _cm(m.crown_across_cm),
        "brim_sectors": brim.sectors if brim else None,
        "brim_rhythm": rhythm_words(brim.rhythm) if brim else None,
        "brim_fullness": _cm(m.brim_fullness),
        "edge_cm": _cm(m.edge_cm),
        "edge_wish_cm": _cm(m.edge_wish_cm),
        "bands": [_band(band) for band in m.bands],
        "yarn": _yarn(c),
        "assumed": list(plan.assumptions),
    }


def _section(section: SectionTally) -> dict[str, Any]:
    return {
        "section": section.section,
        "name": section.name,
        "rounds": section.rounds,
        "count_in": section.count_in,
        "count_out": section.count_out,
        "repeat": section.repeat,
        "repeats": section.repeats,
        "sectors": section.sectors,
    }


def _band(band: BandMeasure) -> dict[str, Any]:
    return {
        "name": band.name,
        "repeat": band.repeat,
        "repeats": band.repeats,
        "give": band.give,
        "repeat_cm": _cm(band.repeat_cm),
        "repeat_wish_cm": _cm(band.wish_cm),
        "around_cm": _cm(band.around_cm),
    }


def _yarn(c: Candidate) -> dict[str, Any] | None:
    """Yarn in grams: the total where every section's stitch was weighed, else what was."""
    yarn = c.measures.yarn
    known = [part for part in yarn.parts if part.grams is not None]
    if not known:
        return None
    return {
        "grams": None if yarn.grams is None else round(yarn.grams, 1),
        "metres": None if yarn.metres is None else round(yarn.metres, 1),
        "margin": yarn.margin,
        "weighed_grams": round(sum(part.grams or 0.0 for part in known), 1),
        "not_weighed": [part.section for part in yarn.parts if part.grams is None],
    }


def _cm(value: float | None) -> float | None:
    """Three places, and no minus zero."""
    return None if value is None else round(value, 3) + 0.0


def to_csv(plan: Plan, fit: Fit, unit: Unit) -> str:
    """The whole frame as CSV; a text that a spreadsheet would take for a formula gets a quote."""
    return frame_csv(rounded(candidates_frame(plan, fit, unit)))


def rounded(frame: DataFrame) -> DataFrame:
    """Numbers at the places a maker can use, by the unit at the end of each column's name."""
    frame = frame.copy()
    for name in frame.columns:
        places = PLACES.get(name.rsplit("_", 1)[-1])
        if places is not None and str(frame[name].dtype) == "Float64":
            frame[name] = frame[name].round(places) + 0.0
    return frame


def to_markdown(plan: Plan, fit: Fit, unit: Unit) -> str:
    """The comparison as a Markdown table, columns that are empty everywhere left out."""
    from tabulate import tabulate

    frame = rounded(candidates_frame(plan, fit, unit))
    heads, cells = [], []
    for name, head in _markdown_columns(frame).items():
        column = f"{name}_{unit}" if f"{name}_{unit}" in frame.columns else name
        if column not in frame.columns or frame[column].isna().all():
            continue
        heads.append(head if column == name else f"{head} {unit}")
        missing = frame[column].isna()
        cells.append(
            ["" if gone else _cell(v) for v, gone in zip(frame[column], missing, strict=True)]
        )
    table: str = tabulate(
        list(zip(*cells, strict=True)),
        headers=[_cell(head) for head in heads],
        tablefmt="pipe",
        disable_numparse=True,
    )
    return table


def _markdown_columns(frame: DataFrame) -> dict[str, str]:
    """MARKDOWN_COLUMNS with a repeat width for every band, named where there are several."""
    if "band2" not in frame.columns:
        return MARKDOWN_COLUMNS
    columns: dict[str, str] = {}
    for name, head in MARKDOWN_COLUMNS.items():
        if name != "band1_repeat_width":
            columns[name] = head
            continue
        bands = [c for c in frame.columns if c.startswith("band") and "_" not in c]
        columns |= {f"{b}_repeat_width": f"{frame[b].iloc[0]} repeat" for b in bands}
    return columns


def to_markdown_page(plan: Plan, fit: Fit, unit: Unit, chosen: Candidate | None = None) -> str:
    """The Markdown table, then what stands under the terminal's table as text as it is."""
    from .comparison import heading
    from .detail import detail
    from .underneath import underneath

    blocks = [in_markdown(heading(plan, fit, unit)), to_markdown(plan, fit, unit)]
    blocks.append(fenced(underneath(plan, fit, unit, signs=False)))
    if chosen is not None:
        blocks.append(fenced(detail(plan, chosen, unit)))
    return "\n\n".join(blocks) + "\n"


def _cell(value: object) -> str:
    """A cell that cannot end its table, nor become markup."""
    return in_markdown(clean(str(value)))
