"""Rows of stitches as symbols on a sheet, and the key of the symbols used."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import hypot

from evenround.tables.facts import table
from evenround.tables.plan import Plan
from evenround.tables.rounds.figures_stitches import in_terms

from . import symbols
from .lettering import SMALL, shortened
from .listing import LINE
from .marks import Mark
from .rows import Row, Spot
from .sheet import Sheet

Onto = Callable[[Spot], symbols.Point]
"""From a row's units onto the sheet."""


def draw_row(sheet: Sheet, row: Row, onto: Onto, size: float, keep: Iterable[Mark]) -> None:
    """The symbols of some marks of a row, one path a kind, which says how many it holds.

    The group around them says the colour.
    """
    lines: dict[str, str] = {}
    dots: dict[str, str] = {}
    many: dict[str, int] = {}
    for mark in keep:
        line, dot = mark_lines(mark, row, onto, size)
        lines[mark.symbol] = lines.get(mark.symbol, "") + line
        dots[mark.symbol] = dots.get(mark.symbol, "") + dot
        many[mark.symbol] = many.get(mark.symbol, 0) + 1
    for name, number in many.items():
        if lines[name]:
            sheet.path(lines[name], "", symbol=name, many=number)
        if dots[name]:
            told = (None, None) if lines[name] else (name, number)
            sheet.path(dots[name], "dot-line", symbol=told[0], many=told[1])


def mark_lines(mark: Mark, row: Row, onto: Onto, size: float) -> tuple[str, str]:
    """The paths of one mark where its row has it."""
    u, v = row.tops[mark.top]
    top = onto((u, v))
    if mark.kind == "chain":
        return symbols.oval(top, size * 0.85, size * 0.42, _unit(onto((u - 0.1, v)), top)), ""
    if mark.kind == "picot":
        return symbols.picot(top, _unit(top, onto((u, v + 0.1))), size * 0.8)
    feet = [onto(row.feet[i]) for i in mark.feet] or [onto((u, row.base))]
    if mark.kind == "bunch":
        kind = mark.symbol.rsplit(" ", 1)[-1]
        return symbols.bunch(kind, mark.stitch, mark.legs, feet[0], top, size)
    if len(feet) > 1 and "tog" not in mark.symbol:  # into a chain space: one foot amid it
        feet = [(sum(x for x, _ in feet) / len(feet), sum(y for _, y in feet) / len(feet))]
    return symbols.symbol(mark.stitch, feet, top, size, shared=mark.shared)


def _unit(start: symbols.Point, end: symbols.Point) -> symbols.Point:
    x, y = end[0] - start[0], end[1] - start[1]
    long = hypot(x, y) or 1.0
    return x / long, y / long


# --- the key ------------------------------------------------------------------------------


def key(sheet: Sheet, plan: Plan, used: dict[str, Mark], y: float) -> float:
    """The symbols used with their names, two a row; where the next line may stand."""
    sheet.text(12, y, "Symbols", "ink strong", size=SMALL)
    y += 22
    wide = (sheet.width - 24) / 2
    for place, (name, mark) in enumerate(used.items()):
        x = 24 + (place % 2) * wide
        if place and place % 2 == 0:
            y += 26
        with sheet.group("line", key=name):
            for path, look in zip(_sample(mark, x, y), ("", "dot-line"), strict=True):
                if path:
                    sheet.path(path, look)
        words = shortened(symbol_words(name, plan.terms), wide - 22)
        sheet.text(x + 18, y, words, size=SMALL)
    return y + LINE + 4


def _sample(mark: Mark, x: float, y: float) -> tuple[str, str]:
    """A symbol upright on its own."""
    foot, top, size = (x, y + 5), (x, y - 13), 5.0
    if mark.kind == "chain":
        return symbols.oval((x, y - 4), size, size * 0.5), ""
    if mark.kind == "picot":
        return symbols.picot((x, y + 3), (0.0, -1.0), size)
    if mark.kind == "bunch":
        kind = mark.symbol.rsplit(" ", 1)[-1]
        return symbols.bunch(kind, mark.stitch, mark.legs, foot, top, size)
    legs = mark.legs if "tog" in mark.symbol else 1
    feet = [(x + (i - (legs - 1) / 2) * 30 / max(4, legs), y + 5.0) for i in range(legs)]
    return symbols.symbol(mark.stitch, feet, top, size if legs < 4 else 2.4)


def symbol_words(name: str, terms: str) -> str:
    """``hdc half double crochet``; what has no long name is named in short alone."""
    own = in_terms(name, "uk" if terms == "uk" else "us")
    if name == "picot":
        return "picot: three chains"
    long = next((r[f"{terms}_name"] for r in table("terms") if r["us_abbr"] == name), "")
    if long and long != own:
        return f"{own}: {long}"
    for short, post in (("FP", "front post"), ("BP", "back post")):
        if name.startswith(short):
            return f"{own}: {post}"
    if name.endswith("tog"):
        return f"{own}: worked as one"
    return own


def used_in(marks: Iterable[Mark]) -> dict[str, Mark]:
    """One mark of each symbol, in order of appearance."""
    out: dict[str, Mark] = {}
    for mark in marks:
        out.setdefault(mark.symbol, mark)
    return out
