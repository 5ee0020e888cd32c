"""The candidates as a pandas frame: one row each, typed columns; CSV and Markdown come from it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from evenround.solver.candidate import EFFORT_PARTS, FIT_PARTS, SHAPE_PARTS, Candidate, Fit

from .plan import Plan, Unit
from .remarks import remarks
from .words import (
    CM_PER_INCH,
    clean,
    crown_words,
    edging_words,
    increase_rounds,
    nudge_words,
    repeats_words,
    rhythm_words,
)

if TYPE_CHECKING:
    from pandas import DataFrame

LENGTHS = ("circumference", "circumference_miss", "edge", "depth", "depth_miss", "brim")
WHOLE = "Int64"
NUMBER = "Float64"
TEXT = "string"
FLAG = "boolean"


def candidates_frame(plan: Plan, fit: Fit, unit: Unit = "cm") -> DataFrame:
    """One row a candidate, best first, in a designer's reading order.

    Columns (missing values are pandas' NA, never left out by what a candidate lacks):

    - ``rank``, ``size``, ``pareto``; ``circumference``, ``circumference_miss``; ``side_count``;
      ``repeats`` (words, ``12 x 9``, every band);
    - ``crown`` (words), ``start``, ``sectors``, ``stop_round``, ``nudges`` (words);
    - for every band n from 1: ``band<n>`` (its name), ``band<n>_repeat``, ``_repeats``,
      ``_give``, and ``_repeat_width``, ``_repeat_wish``, ``_around``;
    - ``brim_sectors``, ``brim_rhythm`` (words), ``brim_increases`` (rounds), ``final_count``,
      ``edging_repeats`` (words), ``edge``, ``depth``, ``depth_miss``, ``brim``, ``flare_deg``,
      ``fullness``; ``score_mm`` and its three sums ``fit_mm``, ``shape_mm``, ``effort_mm``;
      ``yarn_g``, ``yarn_m``; ``remark``; ``assumed`` (what nobody measured, in words).

    Every length's name ends in its unit (``_cm`` or ``_in``). Counts are Int64, lengths Float64
    (not rounded), words string. Raises ValueError on another unit.
    """
    if unit not in ("cm", "in"):
        raise ValueError(f"unit is {unit!r}; 'cm' or 'in' would be right")
    from pandas import DataFrame, Series

    bands = max((len(c.measures.bands) for c in fit.candidates), default=0)
    said = remarks(fit.candidates)
    rows = [
        _row(plan, candidate, remark, bands, unit)
        for candidate, remark in zip(fit.candidates, said, strict=True)
    ]
    types = column_types(bands, unit)
    columns = {name: Series([r[name] for r in rows], dtype=kind) for name, kind in types.items()}
    return DataFrame(columns)


def column_types(bands: int, unit: Unit) -> dict[str, Any]:
    """Every column's name and pandas type, in order, for pieces with so many bands."""
    types: dict[str, Any] = {
        "rank": WHOLE,
        "size": TEXT,
        "pareto": FLAG,
        f"circumference_{unit}": NUMBER,
        f"circumference_miss_{unit}": NUMBER,
        "side_count": WHOLE,
        "repeats": TEXT,
        "crown": TEXT,
        "start": WHOLE,
        "sectors": WHOLE,
        "stop_round": WHOLE,
        "nudges": TEXT,
    }
    for n in range(1, bands + 1):
        types |= {f"band{n}": TEXT}
        types |= {f"band{n}_{name}": WHOLE for name in ("repeat", "repeats", "give")}
        types |= {
            f"band{n}_{name}_{unit}": NUMBER for name in ("repeat_width", "repeat_wish", "around")
        }
    types |= {"brim_sectors": WHOLE, "brim_rhythm": TEXT, "brim_increases": WHOLE}
    types |= {"final_count": WHOLE, "edging_repeats": TEXT}
    types |= {f"{name}_{unit}": NUMBER for name in ("edge", "depth", "depth_miss", "brim")}
    types |= dict.fromkeys(("flare_deg", "fullness", "score_mm"), NUMBER)
    types |= dict.fromkeys(("fit_mm", "shape_mm", "effort_mm", "yarn_g", "yarn_m"), NUMBER)
    return types | {"remark": TEXT, "assumed": TEXT}


def _row(plan: Plan, c: Candidate, remark: str, bands: int, unit: Unit) -> dict[str, Any]:
    m, tally = c.measures, c.tally
    several = len(m.bands) > 1
    row: dict[str, Any] = {
        "rank": c.rank,
        "size": clean(plan.size),
        "pareto": c.pareto,
        "side_count": m.side_count,
        "repeats": ", ".join(repeats_words(b, named=several) for b in m.bands) or None,
        "crown": crown_words(tally),
        "start": tally.start,
        "sectors": tally.crown.sectors if tally.crown else None,
        "stop_round": tally.stop_round,
        "nudges": ", ".join(nudge_words(n) for n in m.nudges) or None,
        "final_count": tally.round_counts[-1],
        "edging_repeats": edging_words(tally),
        "flare_deg": m.flare_deg,
        "fullness": m.fullness,
        "yarn_g": m.yarn.grams,
        "yarn_m": m.yarn.metres,
        "remark": remark or None,
        "assumed": "; ".join(map(clean, plan.assumptions)) or None,
    }
    return row | _lengths(c, unit) | _bands(c, bands, unit) | _brim(c) | _scores(c)


def _lengths(c: Candidate, unit: Unit) -> dict[str, Any]:
    m = c.measures
    values = (m.around_cm, m.around_miss_cm, m.edge_cm, m.depth_cm, m.depth_miss_cm, m.brim_cm)
    return {f"{n}_{unit}": _in(v, unit) for n, v in zip(LENGTHS, values, strict=True)}


def _bands(c: Candidate, bands: int, unit: Unit) -> dict[str, Any]:
    row: dict[str, Any] = {}
    for n in range(1, bands + 1):
        band = c.measures.bands[n - 1] if n <= len(c.measures.bands) else None
        row[f"band{n}"] = clean(band.name) if band else None
        for name in ("repeat", "repeats", "give"):
            row[f"band{n}_{name}"] = getattr(band, name, None)
        for name, field in (("repeat_width", "repeat"), ("repeat_wish", "wish")):
            row[f"band{n}_{name}_{unit}"] = _in(getattr(band, f"{field}_cm", None), unit)
        row[f"band{n}_around_{unit}"] = _in(band.around_cm if band else None, unit)
    return row


def _brim(c: Candidate) -> dict[str, Any]:
    brim = c.tally.brim
    return {
        "brim_sectors": brim.sectors if brim else None,
        "brim_rhythm": rhythm_words(brim.rhythm) if brim else None,
        "brim_increases": increase_rounds(brim) if brim else None,
    }


def _scores(c: Candidate) -> dict[str, Any]:
    parts = c.measures.score_parts
    sums = {"fit_mm": FIT_PARTS, "shape_mm": SHAPE_PARTS, "effort_mm": EFFORT_PARTS}
    scores = {name: sum(parts.get(p, 0.0) for p in names) for name, names in sums.items()}
    return {"score_mm": c.measures.score_mm} | scores


def _in(cm: float | None, unit: Unit) -> float | None:
    if cm is None:
        return None
    return cm if unit == "cm" else cm / CM_PER_INCH
