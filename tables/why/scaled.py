"""The gauges of a brief, and what was measured on its figures, as another hook would make them.

Works on the brief's tables as they were written, so that a text keeps its form: ``19 x 15 / 10cm``
becomes ``18.1 x 14.3 / 10cm``.
"""

from __future__ import annotations

import re
from collections.abc import MutableMapping
from typing import Any

from evenround.tables.facts import stitches
from evenround.tables.lengths import CM_PER, parse_length
from evenround.tables.plan import Plan, Unit

Table = MutableMapping[str, Any]
_OVER = re.compile(r"/|=|\bper\b|\bover\b|\bto\b", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_DISC = ("across", "hole", "along", "edge")
_ON_FIGURES = ("measured_repeat", "measured_height")


def scale_gauges(raw: Table, unit: Unit, share: float, places: int) -> None:
    """Every stated gauge with ``share`` times as many stitches and rounds, to so many places;
    widths measured on discs and figures shrink by as much."""
    gauges = raw["gauge"]
    for stitch in list(gauges):
        entry = gauges[stitch]
        if isinstance(entry, str):
            gauges[stitch] = _scaled_text(entry, share, places)
        elif "over" in entry or isinstance(entry.get("stitches"), list):
            for key in ("stitches", "rounds"):
                if key in entry:
                    entry[key] = [round(count * share, places + 1) for count in entry[key]]
        else:
            _shrink(entry, _DISC, unit, share, places)
    for section in raw["sections"]:
        _shrink(section, _ON_FIGURES, unit, share, places)


def _scaled_text(text: str, share: float, places: int) -> str:
    """The numbers before what the gauge is counted over."""
    over = _OVER.search(text)
    end = len(text) if over is None else over.start()

    def scaled(found: re.Match[str]) -> str:
        return f"{round(float(found[0].replace(',', '.')) * share, places):g}"

    return _NUMBER.sub(scaled, text[:end]) + text[end:]


def _shrink(table: Table, keys: tuple[str, ...], unit: Unit, share: float, places: int) -> None:
    """Lengths that narrower stitches make smaller; a bare number stays one."""
    for key in keys:
        said = table.get(key)
        if said is None or said == 0:
            continue
        if isinstance(said, str):
            cm = parse_length(said, unit) / share
            table[key] = f"{round(cm / CM_PER[unit], places + 1):g}{unit}"
        else:
            table[key] = round(float(said) / share, places + 1)


def gauge_of_class(raw: Table, plan: Plan) -> None:
    """A brief that only names a yarn class gets the gauge the class stood for, over 4 in."""
    names = {us: name for name, us in stitches(plan.terms).items()}
    raw.pop("yarn_class", None)
    raw.setdefault("stitch", names["hdc"])  # what the brief means where it names none
    raw["gauge"] = {names["sc"]: f"{plan.gauge_stitches:g} / 4in"}
