"""The ways out as a list or a table: the change, the hat it gives, its price."""

from __future__ import annotations

from evenround.solver.candidate import Candidate
from evenround.tables.layout import paragraph
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import notice_words
from evenround.tables.safe import in_markdown
from evenround.tables.words import (
    crown_words,
    length,
    nudge_words,
    number,
    repeats_words,
    rhythm_words,
    signed,
)

from .changes import changes_words
from .explained import Explained
from .promised import Way
from .worst import worst_of

INDENT = "     "
NONE = "Ways out: none found by changing one, two or three of the requirements."
LEAD = (
    "Ways out, each with the hat it gives, cheapest first: by what that hat scores by the brief "
    "as it stands."
)


def ways_list(each: Explained, unit: Unit) -> str:
    """A numbered list for the terminal."""
    if not each.ways:
        return paragraph(NONE)
    lines = [paragraph(LEAD), ""]
    for way in each.ways:
        change = changes_words(each.plan, way.changes, unit, way.plan.piece)
        lines.append(paragraph(change, INDENT, f"{way.number:>3}  "))
        hat = f"{hat_words(way.plan, way.candidate, unit)}; {number(way.price_mm, 1)} mm"
        lines.append(paragraph(hat, INDENT))
    return "\n".join(lines)


def ways_table(each: Explained, unit: Unit) -> str:
    """A Markdown table."""
    from tabulate import tabulate

    if not each.ways:
        return NONE
    rows = [_row(each, way, unit) for way in each.ways]
    heads = ["#", "change", "the hat it gives", "price mm"]
    table: str = tabulate(rows, headers=heads, tablefmt="pipe", disable_numparse=True)
    return f"{LEAD}\n\n{table}"


def _row(each: Explained, way: Way, unit: Unit) -> list[str]:
    cells = [
        str(way.number),
        changes_words(each.plan, way.changes, unit, way.plan.piece),
        hat_words(way.plan, way.candidate, unit),
        number(way.price_mm, 1),
    ]
    return [in_markdown(cell) for cell in cells]


def hat_words(plan: Plan, candidate: Candidate, unit: Unit) -> str:
    """A hat in one line: count, circumference, repeats, crown, nudges, brim, what to watch."""
    m, tally = candidate.measures, candidate.tally
    miss = m.around_miss_cm
    off = "" if miss is None else f" ({signed(miss, unit)})"
    words = [f"{m.side_count} sts, {length(m.around_cm, unit)} {unit} around{off}"]
    words += worst_of(plan.piece, candidate, unit)
    words += [repeats_words(band, named=True) for band in m.bands]
    crown = crown_words(tally)
    if crown is not None:
        words.append(f"crown {crown}")
    words += [nudge_words(nudge) for nudge in m.nudges]
    words += _brim_words(candidate)
    if m.notices:
        words.append(f"but {'; and '.join(notice_words(notice) for notice in m.notices)}")
    return "; ".join(words)


def _brim_words(candidate: Candidate) -> list[str]:
    """``brim on 8 sectors every 2nd round, ends on 136, flare 29 deg``; nothing without one."""
    m, tally = candidate.measures, candidate.tally
    if tally.brim is None:
        return []
    rhythm = rhythm_words(tally.brim.rhythm)
    shaped = f"brim on {tally.brim.sectors} sectors {rhythm}" if rhythm else "straight brim"
    flare = "" if m.flare_deg is None else f", flare {m.flare_deg:.0f} deg"
    if m.over_flat and m.brim_fullness is not None:
        flare = f", x{m.brim_fullness:.2f} of flat"
    return [f"{shaped}, ends on {tally.round_counts[-1]}{flare}"]
