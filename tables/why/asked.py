"""Each requirement as this brief states it: with its limits, its ranges, its repeats."""

from __future__ import annotations

from collections.abc import Iterator

from evenround.solver.candidate import Requirement
from evenround.solver.piece import Band, Brim, Crown, Edging, Even
from evenround.solver.price import brim_limit_um, depth_limit_um, edge_wish_cm
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import REQUIREMENTS
from evenround.tables.words import (
    clean,
    length,
    listed,
    over_words,
    plural,
    rhythm_words,
    shortly,
)

UM_PER_CM = 10_000


def asked_words(plan: Plan, names: tuple[Requirement, ...], unit: Unit) -> list[str]:
    """A phrase for each requirement, in the order given."""
    return [requirement_words(plan, name, unit) for name in names]


def requirement_words(plan: Plan, name: Requirement, unit: Unit) -> str:
    """``56.0 cm around within 0.5 cm at 16 sts per 10 cm``, ``a repeat of 7``, ``no nudge``."""
    match name:
        case "circumference":
            return _around(plan, unit)
        case "repeat" | "give" | "repeat width":
            return _band(plan, name, unit)
        case "nudge":
            return _nudge(plan)
        case "crown sectors" | "start count" | "part round" | "second rate" | "double rounds":
            return _crown(plan, name)
        case "brim sectors" | "brim rhythm" | "flare" | "firm rounds":
            return _brim(plan, name)
        case "brim width" | "edge circumference":
            return _brim_length(plan, name, unit)
        case "edging repeat":
            return _edging(plan)
        case "rounds":
            return listed(list(_rounds(plan))) or REQUIREMENTS[name]
        case "depth":
            return _depth(plan, unit)
    return REQUIREMENTS[name]


def span(low: int, high: int | None) -> str:
    """``8``, ``6 to 16``, ``4 or more``."""
    if high is None:
        return f"{low} or more"
    return str(low) if low == high else f"{low} to {high}"


def _around(plan: Plan, unit: Unit) -> str:
    piece = plan.piece
    within = f"within {shortly(piece.limits.around_cm, unit)} {unit}"
    gauge = f"at {plan.gauge_stitches:.4g} sts per {over_words(plan)}"
    if piece.around_cm is not None:
        return f"{length(piece.around_cm, unit)} {unit} around {within} {gauge}"
    own = [s.around_cm for s in piece.sections if isinstance(s, Even | Band) and s.around_cm]
    ends = " to ".join(dict.fromkeys(length(cm, unit) for cm in (own[0], own[-1])))
    return f"{ends} {unit} around {within} {gauge}"


def _bands(plan: Plan) -> list[Band]:
    return [s for s in plan.piece.sections if isinstance(s, Band)]


def _band(plan: Plan, name: Requirement, unit: Unit) -> str:
    bands = _bands(plan)
    if name == "repeat":
        repeats = [_repeat(band) for band in bands]
        if len(bands) == 1:
            even = ", an even number of times" if bands[0].even_repeats else ""
            return f"a repeat of {repeats[0]}{even}"
        named = [f"{r} ({clean(b.name)})" for r, b in zip(repeats, bands, strict=True)]
        return f"repeats of {listed(named)}"
    if name == "give":
        given = [span(*band.give_range) for band in bands if band.figure.has_give]
        return f"{listed(given)} plain stitches of give in a repeat"
    wished = [b.repeat_wish_cm for b in bands if b.repeat_wish_cm is not None]
    widths = listed([length(cm, unit, 2) for cm in dict.fromkeys(wished)])
    share = plan.piece.limits.repeat_share
    return f"repeats {widths} {unit} wide within {100 * share:.3g} %"


def _repeat(band: Band | Edging) -> str:
    takes = band.figure.counts[0]
    over = f" + {band.remainder}" if band.remainder else ""
    return f"{takes}{' + t' if band.figure.give[0] else ''}{over}"


def _nudge(plan: Plan) -> str:
    limits = plan.piece.limits
    if not limits.nudge_stitches or not limits.nudge_share:
        return "no nudge"
    share = f"{100 * limits.nudge_share:.3g} %"
    stitches = plural(limits.nudge_stitches, "stitch", "stitches")
    apart = plural(limits.nudge_apart, "round")
    return f"nudges of at most {stitches} and {share} of the count, {apart} apart"


def _crown(plan: Plan, name: Requirement) -> str:
    crown = next(s for s in plan.piece.sections if isinstance(s, Crown))
    match name:
        case "crown sectors":
            return f"{span(*crown.sector_range)} crown sectors"
        case "start count":
            return f"{span(*crown.start_range)} stitches to start with"
        case "part round":
            return "no part round"
        case "second rate":
            return "a crown of one rate"
    return "no double round" if not crown.double_rounds else REQUIREMENTS[name]


def _the_brim(plan: Plan) -> Brim:
    return next(s for s in plan.piece.sections if isinstance(s, Brim))


def _brim(plan: Plan, name: Requirement) -> str:
    brim = _the_brim(plan)
    match name:
        case "brim sectors":
            return f"{span(*brim.sector_range)} brim sectors"
        case "brim rhythm":
            words = [rhythm_words(rhythm) or "" for rhythm in brim.rhythms]
            return f"brim increases {' or '.join(words)}"
        case "firm rounds":
            return f"{plural(brim.firm_rounds, 'firm last round')} in the brim"
    if brim.flare_deg is None:
        return REQUIREMENTS[name]
    return f"a flare of {brim.flare_deg:g} degrees within {plan.piece.limits.flare_deg:g}"


def _brim_length(plan: Plan, name: Requirement, unit: Unit) -> str:
    brim, limits = _the_brim(plan), plan.piece.limits
    if name == "brim width":
        off = brim_limit_um(plan.piece, brim) / UM_PER_CM
        why = " (one round)" if limits.brim_cm is None else ""
        wide = length(brim.width_cm, unit)
        return f"a brim {wide} {unit} wide within {shortly(off, unit)} {unit}{why}"
    around = plan.piece.around_cm
    wish = None if around is None else edge_wish_cm(brim, around)
    if wish is not None:
        edge = f"an edge {length(wish, unit)} {unit} around"
    elif brim.fullness is not None:
        edge = f"the edge of a brim of fullness {brim.fullness:g}"
    else:
        edge = f"the edge of a flare of {brim.flare_deg:g} degrees"
    return f"{edge} within {shortly(limits.edge_cm, unit)} {unit}"


def _edging(plan: Plan) -> str:
    edging = next(s for s in plan.piece.sections if isinstance(s, Edging))
    return f"an edging of {_repeat(edging)}"


def _rounds(plan: Plan) -> Iterator[str]:
    """The sections whose rounds are limited."""
    for section in plan.piece.sections:
        if not isinstance(section, Even | Band) or section.rounds == (0, None):
            continue
        low, high = section.rounds
        one = "round" if (low, high) == (1, 1) else "rounds"
        yield f"{span(low, high)} {one} of {clean(section.name)}"


def _depth(plan: Plan, unit: Unit) -> str:
    wish, limits = plan.piece.depth_cm, plan.piece.limits
    assert wish is not None  # else it is no requirement
    off = depth_limit_um(plan.piece) / UM_PER_CM
    why = " (one round)" if limits.depth_cm is None else ""
    return f"a depth of {length(wish, unit)} {unit} within {shortly(off, unit)} {unit}{why}"
