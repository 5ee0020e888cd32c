"""A ranking for other programs and documents: JSON, CSV and Markdown."""

from __future__ import annotations

import json
from typing import Any

from evenround.tables.export import candidate_record
from evenround.tables.plan import Unit
from evenround.tables.reasons import notice_words
from evenround.tables.safe import in_markdown, records_csv
from evenround.tables.words import clean, in_unit, number, repeats_words

from .outcome import Made, RankedYarn, Ranking
from .page import balls_words, below, order_lines
from .words import counted, gauge_words, how_made, miss_words, nearest_miss, yarn_words

PLACES = {"cm": 2, "in": 3}


def to_json(ranking: Ranking, terms: str) -> str:
    """A JSON list of the listed yarns, lengths in cm; each size with its design as ``fit`` gives
    it, or None and the nearest miss."""
    rows = [_yarn_record(each, terms) for each in ranking.yarns]
    return json.dumps(rows, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _yarn_record(each: RankedYarn, terms: str) -> dict[str, Any]:
    score, yarn = each.place.score_mm, each.yarn
    return {
        "rank": each.place.rank,
        "yarn": yarn.name,
        "line": yarn.line,
        "gauge": gauge_words(yarn, terms),
        "hooks": list(yarn.hooks),
        "ball_grams": yarn.ball_grams,
        "ball_metres": yarn.ball_metres,
        "score_mm": None if score is None else round(score, 6),
        "sizes_made": sum(m.candidate is not None for m in each.made),
        "sizes_made_well": sum(m.well for m in each.made),
        "sizes": [_size_record(made) for made in each.made],
    }


def _size_record(made: Made) -> dict[str, Any]:
    miss, best = nearest_miss(made), made.candidate
    return {
        "size": made.plan.size,
        "made": how_made(made),
        "proven": made.fit.status != "unproven",
        "gauge_effect_cm": None if made.gauge_effect_cm is None else round(made.gauge_effect_cm, 3),
        "grams_with_margin": None
        if made.grams_with_margin is None
        else round(made.grams_with_margin, 1),
        "balls": made.balls,
        "nearest_miss": None
        if miss is None
        else {
            "side_count": miss.side_count,
            "circumference_cm": round(miss.around_cm, 3),
            "miss_cm": round(miss.miss_cm, 3) + 0.0,
            "words": miss_words(made, "cm"),
        },
        "candidate": None if best is None else candidate_record(made.plan, best),
    }


def pair_row(each: RankedYarn, made: Made, unit: Unit) -> dict[str, object]:
    """One yarn and size as flat cells, None where there is nothing; lengths end in the unit."""

    def cm(value: float | None) -> float | None:
        return None if value is None else round(in_unit(value, unit), PLACES[unit]) + 0.0

    best = made.candidate
    m = best.measures if best is not None else None
    score = each.place.score_mm
    return {
        "rank": each.place.rank,
        "yarn": clean(each.yarn.name),
        "yarn_score_mm": None if score is None else round(score, 3),
        "size": clean(made.plan.size),
        "made": how_made(made),
        "score_mm": None if m is None else round(m.score_mm, 3),
        f"circumference_{unit}": cm(m.around_cm if m else None),
        f"circumference_miss_{unit}": cm(m.around_miss_cm if m else None),
        "side_count": m.side_count if m else None,
        "repeats": ", ".join(repeats_words(b, named=len(m.bands) > 1) for b in m.bands)
        if m
        else None,
        f"repeat_width_{unit}": cm(m.bands[0].repeat_cm if m and m.bands else None),
        f"repeat_wish_{unit}": cm(m.bands[0].wish_cm if m and m.bands else None),
        "fullness": None if m is None or m.fullness is None else round(m.fullness, 3),
        "flare_deg": None if m is None or m.flare_deg is None else round(m.flare_deg, 1),
        f"edge_{unit}": cm(m.edge_cm if m else None),
        f"depth_miss_{unit}": cm(m.depth_miss_cm if m else None),
        f"half_a_stitch_{unit}": cm(made.gauge_effect_cm),
        "yarn_g": None if m is None or m.yarn.grams is None else round(m.yarn.grams, 1),
        "yarn_g_with_margin": None
        if made.grams_with_margin is None
        else round(made.grams_with_margin, 1),
        "balls": made.balls,
        "nearest_miss": miss_words(made, unit) if m is None else None,
        "warnings": "; ".join(notice_words(n) for n in m.notices) if m else None,
        "assumed": "; ".join(map(clean, made.plan.assumptions)) or None,
    }


def to_csv(ranking: Ranking, unit: Unit) -> str:
    """A row for every listed yarn and size; a text that a spreadsheet would take for a formula
    gets an apostrophe."""
    return records_csv([pair_row(each, made, unit) for each in ranking.yarns for made in each.made])


def to_markdown(ranking: Ranking, unit: Unit, terms: str) -> str:
    """Two tables, yarns and then yarns by size, and what is said below them."""
    overview = [
        {
            "#": each.place.rank,
            "yarn": clean(each.yarn.name),
            "gauge": gauge_words(each.yarn, terms),
            "sizes made": counted(each),
            "score mm": "" if each.place.score_mm is None else number(each.place.score_mm, 1),
            "balls": balls_words(each),
        }
        for each in ranking.yarns
    ]
    pairs = [_short(each, made, unit) for each in ranking.yarns for made in each.made]
    blocks = [f"## {_cell(clean(ranking.title))}", "\n".join(order_lines(ranking))]
    blocks += [
        _table(overview),
        _table(pairs),
        in_markdown("\n".join(f"{line}\n" for line in below(ranking))),
    ]
    return "\n\n".join(block.rstrip() for block in blocks if block.strip()) + "\n"


def _short(each: RankedYarn, made: Made, unit: Unit) -> dict[str, object]:
    row = pair_row(each, made, unit)
    return {
        "#": row["rank"],
        "yarn": row["yarn"],
        "size": row["size"],
        "made": row["made"],
        f"around {unit}": row[f"circumference_{unit}"],
        f"off {unit}": row[f"circumference_miss_{unit}"],
        "stitches": row["side_count"],
        "repeats": row["repeats"],
        f"repeat {unit}": row[f"repeat_width_{unit}"],
        f"wish {unit}": row[f"repeat_wish_{unit}"],
        "fullness": row["fullness"],
        "flare": row["flare_deg"],
        f"half a stitch {unit}": row[f"half_a_stitch_{unit}"],
        "score mm": row["score_mm"],
        "takes": yarn_words(made),
        "remark": row["nearest_miss"] or row["warnings"],
    }


def _table(rows: list[dict[str, object]]) -> str:
    """A Markdown table; columns that are empty in every row are left out."""
    from tabulate import tabulate

    if not rows:
        return ""
    names = [name for name in rows[0] if any(row[name] not in (None, "") for row in rows)]
    cells = [[_cell("" if row[n] is None else str(row[n])) for n in names] for row in rows]
    table: str = tabulate(cells, headers=names, tablefmt="pipe", disable_numparse=True)
    return table


def _cell(text: str) -> str:
    return in_markdown(text)
