"""The answer of ``evenround gauge`` as text, Markdown, CSV and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from evenround.solver.sure_swatch import Disc, largest
from evenround.tables.layout import Column, lay_out, paragraph
from evenround.tables.plan import Unit
from evenround.tables.safe import in_markdown, records_csv
from evenround.tables.words import clean, in_unit, length, number, plural

from .measured import ForSize, GaugeAnswer, Spread, disc_against_crown, over_name, slip_words

Table = tuple[list[tuple[str, ...]], list[list[str]]]
"""Headings of a line or more each, and rows of cells."""


def to_text(answer: GaugeAnswer, unit: Unit, stitch: str, markdown: bool = False) -> str:
    """The whole answer, at most 80 columns wide (tables in Markdown apart)."""
    lay = _pipes if markdown else _plain
    blocks = [paragraph(_heading(answer, stitch))]
    if answer.spreads:
        blocks.append(lay(_spread_table(answer.spreads)))
        if any(s.low is not None for s in answer.spreads):
            blocks[-1] += "\n" + ("\n" if markdown else "") + _INTERVAL
    if answer.discs:
        blocks.append(lay(_disc_table(answer, unit)))
    blocks.append(_said("Warning", answer.warnings))
    if answer.sizes:
        title = "What it does to this brief:\n" + ("\n" if markdown else "")
        blocks.append(title + lay(_size_table(answer.sizes, unit)))
        blocks.append(paragraph(_SIZES))
    blocks.append("\n".join(_remarks(answer, unit)))
    return "\n\n".join(block for block in blocks if block) + "\n"


_INTERVAL = "95 %: the true mean lies between these 19 times of 20 (t distribution)."
_SIZES = (
    "gives: how wide the count for the brief's own gauge comes out at the measured one. "
    "Half a stitch or round is in 10 cm; spread: one standard deviation of these measurements."
)


def _heading(answer: GaugeAnswer, stitch: str) -> str:
    over = over_name(answer.over_cm)
    rounds = "" if answer.rounds is None else f" x {number(answer.rounds, 2)} rounds"
    source = f"{plural(len(answer.discs), 'disc')}, the largest is taken"
    if answer.spreads:
        source = plural(answer.spreads[0].found.count, "measurement")
    return f"{stitch}{number(answer.stitches, 2)} sts{rounds} / {over} ({source})."


def _remarks(answer: GaugeAnswer, unit: Unit) -> list[str]:
    found = [_said("Note", answer.notes)]
    if not answer.sizes:
        found.append(_said("Gauge", slip_words(answer, unit)))
    elif words := disc_against_crown(answer, answer.sizes, unit):
        found.append(_said("Note", [words]))
    return [each for each in found if each]


def _said(label: str, sentences: Sequence[str]) -> str:
    return "\n".join(paragraph(f"{label}: {s}", indent="  ", first="") for s in sentences)


def _spread_table(spreads: Sequence[Spread]) -> Table:
    heads: list[tuple[str, ...]] = [
        ("",),
        ("counted",),
        ("mean",),
        ("standard", "deviation"),
        ("standard", "error"),
        ("95 %",),
    ]
    rows = []
    for each in spreads:
        found = each.found
        bounds = "" if each.low is None else f"{_two(each.low)} to {_two(each.high)}"
        rows.append(
            [
                each.what,
                str(found.count),
                _two(found.mean),
                _two(found.deviation),
                _two(found.error),
                bounds,
            ]
        )
    return _without_empty(heads, rows)


def _two(value: float | None) -> str:
    return "" if value is None else number(value, 2)


def _disc_table(answer: GaugeAnswer, unit: Unit) -> Table:
    over = over_name(answer.over_cm)
    heads: list[tuple[str, ...]] = [
        ("rounds",),
        ("sts",),
        ("across", unit),
        ("a stitch", f"{unit} wide"),
        ("a round", f"{unit} high"),
        ("sts /", over),
        ("rounds /", over),
        ("width", "off"),
    ]
    chosen = largest(answer.discs)
    rows = []
    for disc in sorted(answer.discs, key=lambda d: (d.rounds, d.across_cm)):
        off = disc.gauge.width_cm / chosen.gauge.width_cm - 1
        rows.append(
            [
                str(disc.rounds),
                str(disc.stitches),
                length(disc.across_cm, unit, 2),
                *_disc_cells(disc, answer.over_cm, unit),
                "taken" if disc is chosen else f"{round(100 * off):+d} %",
            ]
        )
    return heads, rows


def _disc_cells(disc: Disc, over_cm: float, unit: Unit) -> list[str]:
    width, height = disc.gauge.width_cm, disc.gauge.height_cm
    return [
        number(in_unit(width, unit), 3),
        number(in_unit(height, unit), 3),
        _two(over_cm / width),
        _two(over_cm / height),
    ]


def _size_table(sizes: Sequence[ForSize], unit: Unit) -> Table:
    heads: list[tuple[str, ...]] = [
        ("size",),
        ("around", unit),
        ("sts by the", "brief"),
        ("sts by", "this"),
        ("gives", unit),
        ("half a", "stitch"),
        ("spread",),
        ("depth", unit),
        ("half a", "round"),
        ("spread",),
    ]
    rows = [
        [
            clean(s.size),
            length(s.around_cm, unit),
            number(s.brief_count, 1),
            number(s.count, 1),
            length(s.gives_cm, unit),
            _off(s.half_stitch_cm, unit),
            _off(s.spread_cm, unit),
            "" if s.depth_cm is None else length(s.depth_cm, unit),
            _off(s.half_round_cm, unit),
            _off(s.depth_spread_cm, unit),
        ]
        for s in sizes
    ]
    return _without_empty(heads, rows)


def _without_empty(heads: list[tuple[str, ...]], rows: list[list[str]]) -> Table:
    """The table without the columns that nobody fills."""
    kept = [i for i in range(len(heads)) if any(row[i] for row in rows)]
    return [heads[i] for i in kept], [[row[i] for i in kept] for row in rows]


def _off(cm: float | None, unit: Unit) -> str:
    return "" if cm is None else f"+-{length(cm, unit, 2)}"


def _plain(table: Table) -> str:
    heads, rows = table
    cells = list(zip(*rows, strict=True))
    return lay_out(
        [
            Column(head, tuple((c,) for c in column))
            for head, column in zip(heads, cells, strict=True)
        ]
    )


def _pipes(table: Table) -> str:
    heads, rows = table
    lines = ["| " + " | ".join(" ".join(head) for head in heads) + " |", "|---" * len(heads) + "|"]
    return "\n".join([*lines, *("| " + " | ".join(map(in_markdown, row)) + " |" for row in rows)])


def to_json(answer: GaugeAnswer, unit: Unit) -> str:
    """One object; lengths in cm, counts over ``over_cm``."""
    record = {
        "over_cm": round(answer.over_cm, 3),
        "stitches": round(answer.stitches, 4),
        "rounds": None if answer.rounds is None else round(answer.rounds, 4),
        "spread": [_spread_record(each) for each in answer.spreads],
        "discs": [_disc_record(each) for each in answer.discs],
        "sizes": [_size_record(each) for each in answer.sizes],
        "warnings": list(answer.warnings),
        "notes": list(answer.notes),
    }
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _spread_record(each: Spread) -> dict[str, Any]:
    found = each.found
    return {
        "of": each.what,
        "counted": found.count,
        "mean": round(found.mean, 4),
        "standard_deviation": _four(found.deviation),
        "standard_error": _four(found.error),
        "mean_low": _four(each.low),
        "mean_high": _four(each.high),
    }


def _disc_record(disc: Disc) -> dict[str, Any]:
    return {
        "rounds": disc.rounds,
        "stitches": disc.stitches,
        "across_cm": round(disc.across_cm, 3),
        "lies_flat": disc.lies_flat,
        "stitch_width_cm": _four(disc.gauge.width_cm),
        "round_height_cm": _four(disc.gauge.height_cm),
    }


def _size_record(size: ForSize) -> dict[str, Any]:
    return {
        "size": size.size,
        "circumference_wish_cm": _four(size.around_cm),
        "stitches_by_brief": _four(size.brief_count),
        "stitches_by_this": _four(size.count),
        "circumference_given_cm": _four(size.gives_cm),
        "half_stitch_cm": _four(size.half_stitch_cm),
        "spread_cm": _four(size.spread_cm),
        "depth_wish_cm": _four(size.depth_cm),
        "half_round_cm": _four(size.half_round_cm),
        "depth_spread_cm": _four(size.depth_spread_cm),
    }


def _four(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


def to_csv(answer: GaugeAnswer, unit: Unit) -> str:
    """A row a size where there is a brief, else a row a disc, else one for stitches and one for
    rounds; lengths in cm as the columns' names say."""
    rows = [_size_record(each) for each in answer.sizes]
    rows = rows or [_disc_record(each) for each in answer.discs]
    rows = rows or [
        _spread_record(each) | {"over_cm": round(answer.over_cm, 3)} for each in answer.spreads
    ]
    return records_csv(rows)
