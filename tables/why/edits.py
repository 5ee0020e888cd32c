"""A change as an edit of the brief's own keys, on its tables as they were written.

The tables may be plain ones or a document that keeps its comments: both are edited alike.
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

from evenround.solver.piece import Band, Brim, Rhythm
from evenround.solver.widen import Change
from evenround.tables.brief_types import RHYTHMS
from evenround.tables.plan import Plan
from evenround.tables.reasons import up
from evenround.tables.words import in_unit

from .scaled import gauge_of_class, scale_gauges

Table = MutableMapping[str, Any]


@dataclass(frozen=True, slots=True)
class Edit:
    """What an edit needs to know: the plan as asked, and to how many places a gauge is written."""

    plan: Plan
    places: int = 1


def edit(raw: Table, changes: Sequence[Change], how: Edit) -> None:
    """Write all changes of a way out into the brief's tables."""
    for change in changes:
        _EDITS[change.what](raw, change, how)


def bare_sections(plan: Plan) -> tuple[int, ...]:
    """Numbers (from 0) of the bands whose repeat is a bare number: neither named nor written out
    nor measured, one round that leaves what it takes."""
    return tuple(
        i
        for i, s in enumerate(plan.piece.sections)
        if isinstance(s, Band)
        and (i >= len(plan.section_rounds) or plan.section_rounds[i] is None)
        and len(s.figure.counts) == 2
        and s.figure.counts[0] == s.figure.counts[1]
        and s.figure.give[0] == s.figure.give[1]
        and s.measured_repeat_cm is None
    )


def _table(raw: Table, key: str) -> Table:
    if key not in raw:
        raw[key] = {}
    table: Table = raw[key]
    return table


def _section(raw: Table, change: Change) -> Table:
    section: Table = raw["sections"][change.section or 0]
    return section


def _tolerance(key: str) -> Callable[[Table, Change, Edit], None]:
    def write(raw: Table, change: Change, how: Edit) -> None:
        unit = how.plan.unit
        value = up(in_unit(change.value[0], unit), 1 if unit == "cm" else 2)
        _table(raw, "tolerances")[key] = f"{value:g}{unit}"

    return write


def _flare(raw: Table, change: Change, how: Edit) -> None:
    _table(raw, "tolerances")["flare"] = round(change.value[0])


def _share(share: float) -> str:
    return f"{round(100 * share)}%"


def _repeat_width(raw: Table, change: Change, how: Edit) -> None:
    _table(raw, "tolerances")["repeat_width"] = _share(change.value[0])


def _wished_width(raw: Table, change: Change, how: Edit) -> None:
    unit = how.plan.unit
    _section(raw, change)["repeat_width"] = f"{in_unit(change.value[0], unit):.4g}{unit}"


def _nudge(raw: Table, change: Change, how: Edit) -> None:
    """Only what is new of the three limits."""
    old = how.plan.piece.limits
    stitches, share, apart = int(change.value[0]), change.value[1], int(change.value[2])
    table = _table(raw, "nudge")
    if stitches != old.nudge_stitches:
        table["stitches"] = stitches
    if share != old.nudge_share:
        table["share"] = _share(share)
    if apart != old.nudge_apart:
        table["apart"] = apart


def _flag(key: str, *, to: bool) -> Callable[[Table, Change, Edit], None]:
    def write(raw: Table, change: Change, how: Edit) -> None:
        _section(raw, change)[key] = to

    return write


def _number(key: str) -> Callable[[Table, Change, Edit], None]:
    def write(raw: Table, change: Change, how: Edit) -> None:
        _section(raw, change)[key] = int(change.value[0])

    return write


def _range(key: str) -> Callable[[Table, Change, Edit], None]:
    def write(raw: Table, change: Change, how: Edit) -> None:
        _section(raw, change)[key] = [int(end) for end in change.value]

    return write


def _firm_rounds(raw: Table, change: Change, how: Edit) -> None:
    """Where the size says its own, there; else in the brim."""
    firm = int(change.value[0])
    for size in raw.get("sizes") or []:
        own = isinstance(size, MutableMapping) and "brim_firm_rounds" in size
        if own and str(size["name"]).strip() == how.plan.size:
            size["brim_firm_rounds"] = firm
            return
    _section(raw, change)["firm_rounds"] = firm


def _rhythm(raw: Table, change: Change, how: Edit) -> None:
    """The brim's rhythms as they were, and one more."""
    words = {rhythm: said for said, rhythm in RHYTHMS.items()}
    brim = how.plan.piece.sections[change.section or 0]
    assert isinstance(brim, Brim)
    new = Rhythm(int(change.value[0]), int(change.value[1]))
    _section(raw, change)["rhythms"] = [words[rhythm] for rhythm in (*brim.rhythms, new)]


def _repeat(raw: Table, change: Change, how: Edit) -> None:
    """Another bare repeat, with its + t and the + 1 of flat patterns as they were."""
    section, band = _section(raw, change), how.plan.piece.sections[change.section or 0]
    assert isinstance(band, Band)
    takes = int(change.value[0])
    give = "+t" if band.figure.has_give else ""
    said = str(section.get("repeat", "")).replace(" ", "")
    over = next((f"+{part}" for part in said.split("+")[1:] if part.isdigit()), "")
    section["repeat"] = f"{takes}{give}{over}" if give or over else takes
    if "counts" in section:
        section["counts"] = [f"{takes}{give}" if give else takes] * 2
    if "leaves" in section:
        section["leaves"] = f"{takes}{give}" if give else takes


def _gauge(raw: Table, change: Change, how: Edit) -> None:
    plan = how.plan
    if not raw.get("gauge"):
        gauge_of_class(raw, how.plan)
    scale_gauges(raw, plan.unit, change.value[0], how.places)


_EDITS: dict[str, Callable[[Table, Change, Edit], None]] = {
    "circumference": _tolerance("circumference"),
    "depth": _tolerance("depth"),
    "brim width": _tolerance("brim"),
    "edge circumference": _tolerance("edge"),
    "flare": _flare,
    "repeat width": _repeat_width,
    "wished width": _wished_width,
    "nudge": _nudge,
    "part round": _flag("part_round", to=True),
    "second rate": _number("rates"),
    "edging repeat": _flag("required", to=False),
    "brim sectors": _range("sector_range"),
    "crown sectors": _range("sector_range"),
    "start count": _range("start_range"),
    "firm rounds": _firm_rounds,
    "brim rhythm": _rhythm,
    "rounds": _range("rounds"),
    "give": _range("give"),
    "repeat": _repeat,
    "gauge": _gauge,
}
