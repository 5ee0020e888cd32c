"""The comparison table for a terminal: a candidate takes a few short lines, 80 columns wide.

Reads from left to right as a designer asks: does it fit the head, do the repeats come out, how
is the crown worked, how the brim, is it deep and wide enough; the price of it all below.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest

from evenround.solver.candidate import PARTS, Candidate, Fit
from evenround.solver.piece import Band, Even

from .layout import Column, lay_out, paragraph
from .plan import Plan, Unit
from .remarks import remarks
from .words import (
    clean,
    crown_words,
    edging_words,
    in_unit,
    increase_rounds,
    length,
    number,
    over_words,
    own_stitch,
    repeats_words,
    rhythm_words,
    shortly,
    signed,
)

EFFICIENT = "*"
SHORT = {
    "circumference": "around",
    "repeat_width": "repeat",
    "brim_width": "brim",
    "width_step": "width step",
    "part_round": "part round",
    "second_rate": "2nd rate",
    "double_round": "double round",
    "stuck_brim": "stuck brim",
}
"""Parts of the score by shorter names, where the column above says the rest."""
Cell = Callable[[Candidate], list[str]]


def comparison_table(plan: Plan, fit: Fit, unit: Unit, more: Sequence[str] = ()) -> str:
    """The ranked candidates, nothing wider than 80 characters. Sections missing in the piece
    have no column; below each candidate stand the parts of its score, then its line of ``more``
    (one a candidate, or none at all), and a remark."""
    candidates = fit.candidates
    columns = [
        Column(heading, tuple(tuple(cell(c)) for c in candidates))
        for heading, cell in _columns(plan, fit, unit)
    ]
    under = [
        _under(candidate, remark, line)
        for candidate, remark, line in zip(
            candidates, remarks(candidates), more or [""] * len(candidates), strict=True
        )
    ]
    return lay_out(columns, under)


def _columns(plan: Plan, fit: Fit, unit: Unit) -> list[tuple[tuple[str, ...], Cell]]:
    """The headings and how to fill each cell, for what this piece has."""
    first = fit.candidates[0]
    several = len(first.measures.bands) > 1
    crown, brim = first.tally.crown, first.tally.brim
    nudges = any(c.measures.nudges for c in fit.candidates)
    columns: list[tuple[tuple[str, ...], Cell]] = [
        (("#",), _rank),
        (("around", unit), lambda c: _around(c, unit)),
        (_count_heading(plan, first, unit), lambda c: _count(plan, c, unit, named=several)),
    ]
    if crown is not None:
        heading = ("crown,", "nudges") if nudges else ("crown",)
        columns.append((heading, _crown))
    elif nudges:
        columns.append((("nudges",), _nudges))
    if brim is not None or edging_words(first.tally):
        columns.append((("brim, ends", "on, edge") if brim else ("ends on",), _brim(unit)))
    columns.append((_shape_heading(first), lambda c: _shape(c, unit)))
    columns.append((("score", "mm"), lambda c: [number(c.measures.score_mm, 1)]))
    return [(h, f) for h, f in columns if h[0]]


def _rank(c: Candidate) -> list[str]:
    return [f"{c.rank}{EFFICIENT if c.pareto else ''}"]


def _around(c: Candidate, unit: Unit) -> list[str]:
    miss = c.measures.around_miss_cm
    return [length(c.measures.around_cm, unit), *([] if miss is None else [signed(miss, unit)])]


def _count_heading(plan: Plan, first: Candidate, unit: Unit) -> tuple[str, ...]:
    bands = first.measures.bands
    if not bands:
        return ("stitches",)
    if any(_band_wishes(plan)):
        return ("repeats, around", f"{unit} (wish)")
    wished = any(band.wish_cm is not None for band in bands)
    return ("stitches =", "repeats,", f"{unit} (wish)") if wished else ("stitches =", "repeats")


def _band_wishes(plan: Plan) -> list[float | None]:
    """Each band's own wished circumference in cm, where the piece is no hat."""
    return [s.around_cm for s in plan.piece.sections if isinstance(s, Band)]


def _count(plan: Plan, c: Candidate, unit: Unit, *, named: bool) -> list[str]:
    """The count as repeats x multiple, band by band, with each repeat's width; where bands have
    circumferences of their own, those."""
    bands = c.measures.bands
    if not bands:
        return [str(c.measures.side_count)]
    lines = []
    if not named:
        # even rounds beside the band may have another count, and then decide the fit
        count = bands[0].repeat * bands[0].repeats + bands[0].remainder
        side = c.measures.side_count
        lines = [f"{count} ="] if count == side else [f"sides {side},", f"band {count} ="]
    for band, around in zip_longest(bands, _band_wishes(plan)[: len(bands)]):
        words = repeats_words(band, named=named)
        if around is not None:
            words += f", {length(band.around_cm, unit)} ({length(around, unit)})"
        width = number(in_unit(band.repeat_cm, unit), 2)
        if band.wish_cm is not None:
            lines += [words, f"{width} ({number(in_unit(band.wish_cm, unit), 2)})"]
        else:
            lines += [words] if named else [words, f"{width} {unit} each"]
    return lines


def _crown(c: Candidate) -> list[str]:
    rates = (crown_words(c.tally) or "").replace(", ", ",\n").split("\n")
    return [*rates, f"stops rnd {c.tally.stop_round}", *_nudges(c)]


def _nudges(c: Candidate) -> list[str]:
    """Each nudge on two lines: by how many and where, and what it prepares."""
    return [
        line
        for n in c.measures.nudges
        for line in (f"{n.change:+d} in rnd {n.round}", f"before {clean(n.before)}")
    ]


def _brim(unit: Unit) -> Cell:
    def cell(c: Candidate) -> list[str]:
        lines = []
        if (brim := c.tally.brim) is not None:
            rhythm = (rhythm_words(brim.rhythm) or "").replace("round", "rnd")
            lines = [f"{brim.sectors} sectors,", f"{rhythm},", f"{increase_rounds(brim)} times"]
            if not increase_rounds(brim):
                lines = ["no increases"]
        final, edging = c.tally.round_counts[-1], edging_words(c.tally)
        lines.append(f"{final} = {edging}" if edging else f"ends on {final}")
        if c.measures.edge_cm is not None:
            lines.append(f"{length(c.measures.edge_cm, unit)} {unit} edge")
        return lines

    return cell


def _shape_heading(first: Candidate) -> tuple[str, ...]:
    m = first.measures
    parts = ["depth"] * (m.depth_wish_cm is not None)
    parts += ["flare"] * (m.flare_deg is not None) + ["fullness"] * (m.fullness is not None)
    return tuple(part + "," for part in parts[:-1]) + tuple(parts[-1:]) or ("",)


def _shape(c: Candidate, unit: Unit) -> list[str]:
    """Depth miss, flare and fullness, each under its own word."""
    m, lines = c.measures, []
    if m.depth_miss_cm is not None:
        lines.append(f"depth {signed(m.depth_miss_cm, unit)}")
    if m.flare_deg is not None:
        over = m.over_flat and m.brim_fullness is not None
        lines.append(f"brim x{m.brim_fullness:.2f}" if over else f"flare {m.flare_deg:.0f} deg")
    if m.fullness is not None:
        lines.append(f"full {m.fullness:.2f}")
    return lines


def score_words(c: Candidate) -> str:
    """The score's parts that are not nothing, in the order of PARTS."""
    parts = c.measures.score_parts
    shown = [(part, parts.get(part, 0.0)) for part in PARTS]
    words = [f"{SHORT.get(p, p)} {number(v, 1)}" for p, v in shown if v >= 0.05]
    return ", ".join(words) or "nothing"


def _under(c: Candidate, remark: str, more: str = "") -> list[str]:
    """The lines below a candidate: what its score is made of, ``more``, and the remark."""
    lines = paragraph(score_words(c), indent="      ", first="    = ").splitlines()
    if more:
        lines += paragraph(more, indent="      ", first="    ").splitlines()
    if remark:
        lines += paragraph(remark, indent="      ", first="    > ").splitlines()
    return lines


def heading(plan: Plan, fit: Fit, unit: Unit, order: str | None = None) -> str:
    """What was asked for, and what the order of the table is worth; over the table. ``order``
    says it in other words, where the order is another."""
    words = clean(plan.title) + (f", {clean(plan.size)}" if len(plan.sizes) > 1 else "")
    asked = [_asked(plan, unit), _gauge(plan)]
    best = "Best first; the first is proven the best."
    if fit.status == "unproven":
        best = "NOT PROVEN: time ran out, these are the best found so far."
    lines = [f"{words}: {'; '.join(part for part in asked if part)}.", order or best]
    return "\n".join(paragraph(line) for line in lines)


def _asked(plan: Plan, unit: Unit) -> str:
    """Head, ease and the circumference they make."""
    piece = plan.piece
    if piece.around_cm is None:
        own = [s.around_cm for s in piece.sections if isinstance(s, Even | Band) and s.around_cm]
        wishes = " to ".join(length(w, unit) for w in dict.fromkeys((own[0], own[-1])))
        return f"{wishes} {unit} around, give or take {shortly(piece.limits.around_cm, unit)}"
    words = f"{length(piece.around_cm, unit)} {unit} around"
    if plan.head_cm is not None:
        ease = "" if plan.ease_cm is None else f", ease {signed(plan.ease_cm, unit)}"
        words = f"head {length(plan.head_cm, unit)} {unit}{ease}, so {words}"
    return f"{words}, give or take {shortly(piece.limits.around_cm, unit)}"


def _gauge(plan: Plan) -> str:
    """The body's gauge as the brief states it."""
    assumed = " (assumed)" if plan.gauge_assumed else ""
    return f"{own_stitch(plan, 0)} {plan.gauge_stitches:.4g} sts / {over_words(plan)}{assumed}"
