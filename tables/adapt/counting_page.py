"""A count and the repeats that suit it as what is shown: a page, Markdown, CSV, JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from itertools import groupby

from evenround.tables.layout import paragraph
from evenround.tables.lengths import format_length
from evenround.tables.plan import Unit
from evenround.tables.safe import csv_text
from evenround.tables.words import plural, signed

from .counting import LARGEST, SMALLEST, Counted, Suit, Way, Wished


def to_text(found: Counted, unit: Unit) -> str:
    """The page at 80 columns."""
    blocks = [paragraph(heading(found, unit))]
    blocks.append("\n".join(paragraph(line, "  ", "") for line in _suiting(found)))
    for wished in found.wished:
        lines = [paragraph(_standing(found, wished), "", "")]
        for way in wished.ways:
            lines.append(paragraph(f"{_way(found, way, unit)}.", "    ", "  "))
            if way.words is not None:
                lines.append(paragraph(way.words, "    ", "    "))
        blocks.append("\n".join(lines))
    blocks += [paragraph(line, "  ", "") for line in _under(found)]
    return "\n\n".join(blocks) + "\n"


def heading(found: Counted, unit: Unit) -> str:
    """``118 stitches, 62.1 cm around``."""
    words = plural(found.count, "stitch", "stitches")
    if found.around_cm is not None:
        words += f", {format_length(found.around_cm, unit, 1 if unit == 'cm' else 2)} around"
    return words


def _suiting(found: Counted) -> Iterator[str]:
    span = f"Repeats from {SMALLEST} to {LARGEST} that suit {found.count}"
    if found.repeats:
        yield f"{span}: {', '.join(f'{s.stitches} ({s.repeats} x)' for s in found.repeats)}."
    else:
        yield f"{span}: none."
    if found.figures:
        parts = [_figure(name, list(each)) for name, each in groupby(found.figures, _name)]
        yield f"Figures that suit in joined rounds: {', '.join(parts)}."
    else:
        yield "Figures that suit in joined rounds: none of those in `evenround figures`."


def _name(suit: Suit) -> str:
    return suit.name


def _figure(name: str, suits: Sequence[Suit]) -> str:
    """``shell (20 x 6)``; with give the t at which it fits."""
    ways = [
        f"{s.repeats} x {s.stitches}" + ("" if s.t is None else f" at t = {s.t}") for s in suits
    ]
    return f"{name} ({' or '.join(ways)})"


def _products(suits: Sequence[Suit]) -> str:
    """``20 x 6``; several wishes in their order, joined by "and"."""
    return " and ".join(
        " or ".join(
            f"{s.repeats} x {s.stitches}" + ("" if s.t is None else f" (t = {s.t})") for s in each
        )
        for _, each in groupby(suits, _name)
    )


def _standing(found: Counted, wished: Wished) -> str:
    """``repeat of 6: 118 does not fit, 4 over 19 repeats``."""
    lead = f"Wished {wished.words}: {found.count}"
    if wished.fits:
        return f"{lead} fits, {_products(wished.fits)}. The nearest others:"
    over = f", {wished.over} over whole repeats" if wished.over else ""
    return f"{lead} does not fit{over}. The nearest that do:"


def _way(found: Counted, way: Way, unit: Unit) -> str:
    what = plural(abs(way.change), "stitch", "stitches")
    wide = "" if way.change_cm is None else f" ({signed(way.change_cm, unit)} {unit})"
    limit = "a usual nudge" if way.within else f"more than a usual nudge (at most {found.limit})"
    words = f"{way.count} = {_products(way.suits)}: {what} "
    words += f"{'more' if way.change > 0 else 'fewer'}{wide}, {limit}"
    return words if way.words is not None else f"{words}; no single round can do it"


def _under(found: Counted) -> Iterator[str]:
    yield from (f"Note: {note}." for note in found.notes)
    if found.wished:
        yield (
            "A usual nudge is at most 5 % of the count and 6 stitches, in one round; larger "
            "changes show (common practice)."
        )


# --- Markdown, CSV, JSON ------------------------------------------------------------------


def to_markdown(found: Counted, unit: Unit) -> str:
    """A list of what suits, and a table of the ways to what is wished."""
    lines = [f"**{heading(found, unit)}**", "", *(f"- {line}" for line in _suiting(found))]
    if found.wished:
        heads = ["wished", "count", "comes out", "change", "usual nudge", "the round"]
        if found.around_cm is not None:
            heads.insert(4, f"change {unit}")
        lines += ["", _bar(heads), _bar("---" for _ in heads)]
    for wished in found.wished:
        if wished.fits:
            own = [wished.words, str(found.count), _products(wished.fits), "0", "", ""]
            if found.around_cm is not None:
                own.insert(4, "0")
            lines.append(_bar(own))
        for way in wished.ways:
            cells = [wished.words, str(way.count), _products(way.suits), f"{way.change:+d}"]
            if way.change_cm is not None:
                cells.append(signed(way.change_cm, unit))
            words = way.words or "no single round can do it"
            cells += ["yes" if way.within else "no, larger", words.replace("*", "\\*")]
            lines.append(_bar(cells))
    under = list(_under(found))
    return "\n".join([*lines, *(["", *under] if under else [])]) + "\n"


def _bar(cells: Iterator[str] | Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


COLUMNS = ("wished", "count", "change", "stitches", "repeats", "t", "usual_nudge", "change_cm")


def to_csv(found: Counted) -> str:
    """A line for every repeat that suits the count, then for every way to what is wished."""
    return csv_text((*COLUMNS, "words"), _csv_rows(found))


def _csv_rows(found: Counted) -> Iterator[tuple[object, ...]]:
    for suit in (*found.repeats, *found.figures):
        name = "" if suit in found.repeats else suit.name
        yield name, found.count, 0, suit.stitches, suit.repeats, suit.t, "", "", ""
    for wished in found.wished:
        for suit in wished.fits:
            yield wished.words, found.count, 0, suit.stitches, suit.repeats, suit.t, "", "", ""
        for way in wished.ways:
            wide = "" if way.change_cm is None else round(way.change_cm, 3)
            usual = "yes" if way.within else "no"
            for s in way.suits:
                head = (wished.words, way.count, way.change, s.stitches, s.repeats, s.t)
                yield *head, usual, wide, way.words


def to_json(found: Counted) -> str:
    """Everything as one object, lengths in cm."""
    data = asdict(found)
    data["around_cm"] = None if found.around_cm is None else round(found.around_cm, 3)
    for wished in data["wished"]:
        for way in wished["ways"]:
            wide = way["change_cm"]
            way["change_cm"] = None if wide is None else round(wide, 3)
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"
