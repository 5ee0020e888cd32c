"""A change to a brief as a maker would say it: ``allow a part round``, ``a repeat of 6``."""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver.piece import Band, Limits, Piece, Rhythm, side_section
from evenround.solver.widen import Change
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import enough
from evenround.tables.words import clean, length, number, over_words, plural, rhythm_words

from .asked import span

LENGTHS = {
    "circumference": "the circumference's tolerance",
    "depth": "the depth's tolerance",
    "brim width": "the tolerance of the brim's width",
    "edge circumference": "the tolerance of the edge's circumference",
}
ONE_HOOK = 0.05
HALF_A_HOOK = 0.015
"""Shares of a gauge: half a millimetre of hook moves it by 3 to 5 % (common practice, from
memory); under half of the least nobody changes hooks."""
A_HOOK = "another hook of half a millimetre moves a gauge by 3 to 5 %, common practice, from memory"


def changes_words(
    plan: Plan, changes: Sequence[Change], unit: Unit, new: Piece, *, hooks: bool = True
) -> str:
    """All changes of a way out, joined by "and". ``plan`` is as asked, ``new`` the piece then;
    ``hooks``: whether to say that another hook gets to a gauge."""
    words = [change_words(plan, change, unit, new) for change in changes]
    shares = [change.value[0] for change in changes if change.what == "gauge"]
    if hooks and shares:
        words.append(f"{words.pop()} ({hook_words(shares[-1])})")
    return " and ".join(words)


def change_words(plan: Plan, change: Change, unit: Unit, new: Piece) -> str:
    """One change in words, with the value that is written into the brief."""
    value = change.value
    if change.what in LENGTHS:
        return f"widen {LENGTHS[change.what]} to {enough(value[0], unit)}"
    match change.what:
        case "flare":
            return f"widen the flare's tolerance to {value[0]:g} degrees"
        case "repeat width":
            return f"widen the tolerance of a repeat's width to {round(100 * value[0])} %"
        case "nudge":
            return _nudge(plan.piece.limits, value)
        case "brim rhythm":
            rhythm = Rhythm(int(value[0]), int(value[1]))
            return f"let the brim increase {rhythm_words(rhythm)} too"
        case "gauge":
            return _gauge(plan, new)
        case "wished width":
            return _wished_width(plan, change, unit)
    return _in_section(plan, change)


def _wished_width(plan: Plan, change: Change, unit: Unit) -> str:
    """``wish a repeat 4.70 cm wide instead of 2.00 cm``."""
    band = plan.piece.sections[change.section or 0]
    assert isinstance(band, Band)
    old = length(band.repeat_wish_cm or 0.0, unit, 2)
    new = length(change.value[0], unit, 2)
    return f"wish a repeat {new} {unit} wide instead of {old} {unit}{_where(plan, change)}"


def _nudge(old: Limits, value: Sequence[float]) -> str:
    """What of the three limits on nudges is new."""
    stitches, share, apart = int(value[0]), value[1], int(value[2])
    words = []
    percent = f"{round(100 * share)} % of the count"
    if stitches > old.nudge_stitches:
        more = f", {percent}" if share > old.nudge_share else ""
        words.append(f"allow a nudge of {plural(stitches, 'stitch', 'stitches')}{more}")
    elif share > old.nudge_share:
        words.append(f"allow a nudge of {percent}")
    if apart < old.nudge_apart:
        near = plural(apart, "round")
        words.append(f"{near} apart" if words else f"allow nudges {near} apart")
    return ", ".join(words) or "allow another nudge"


def _in_section(plan: Plan, change: Change) -> str:
    """A change to one section's own fields."""
    ends = [int(end) for end in change.value]
    range_ = span(ends[0], ends[-1])
    match change.what:
        case "part round":
            return "allow a part round"
        case "second rate":
            return "allow a second rate"
        case "crown sectors" | "brim sectors":
            return f"allow {range_} {change.what}"
        case "start count":
            return f"allow {range_} stitches to start with"
        case "firm rounds":
            firm = plural(ends[0], "firm last round") if ends[0] else "no firm last rounds"
            return f"allow a brim with {'only ' if ends[0] else ''}{firm}"
        case "edging repeat":
            return "make the edging's repeat a wish"
    return _of_figure(plan, change, range_)


def _of_figure(plan: Plan, change: Change, range_: str) -> str:
    """A change that names its section where there are several it could be."""
    section = plan.piece.sections[change.section or 0]
    name, where = clean(section.name), _where(plan, change)
    match change.what:
        case "rounds":
            return f"allow {range_} rounds of {name}"
        case "give":
            return f"allow a give of {range_} plain stitches{where}"
        case "repeat" if isinstance(section, Band):
            give = " + t" if section.figure.has_give else ""
            old = section.figure.counts[0]
            return f"a repeat of {range_}{give} instead of {old}{give}{where}"
    return f"another {change.what}{where}"


def _where(plan: Plan, change: Change) -> str:
    """Which band a change is for, where there are several."""
    sections = plan.piece.sections
    several = sum(isinstance(s, Band) for s in sections) > 1
    return f" in {clean(sections[change.section or 0].name)}" if several else ""


def _gauge(plan: Plan, new: Piece) -> str:
    """``a gauge of 18.6 sts x 14.0 rounds / 10 cm``."""
    gauge = side_section(new).gauge
    stitches = number(plan.over_cm / gauge.width_cm, 1)
    rounds = number(plan.over_cm / gauge.height_cm, 1)
    return f"a gauge of {stitches} sts x {rounds} rounds / {over_words(plan)}"


def hook_words(share: float) -> str:
    """Whether a neighbouring hook usually gets to a gauge that is a share of the old one."""
    far = round(abs(share - 1), 4)
    way = "tighter, by a smaller hook" if share > 1 else "looser, by a larger hook"
    percent = f"{number(100 * far, 1)} % {way}"
    if far < HALF_A_HOOK:
        return f"{percent} or only by hand: less than one hook size"
    if far <= ONE_HOOK:
        return f"{percent}: one size usually gets there"
    return f"{percent}: one size usually does not get there"
