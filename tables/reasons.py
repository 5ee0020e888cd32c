"""Broken requirements and warnings in a maker's words."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from evenround.solver.candidate import Breach, NearMiss, Notice, Requirement

from .plan import Unit
from .words import clean, in_unit, length, number, plural

REQUIREMENTS: dict[Requirement, str] = {
    "circumference": "the circumference",
    "repeat": "the band's repeat",
    "even increases": "increases that come out even",
    "edging repeat": "the edging's repeat",
    "start count": "the number of stitches to start with",
    "crown sectors": "the number of crown sectors",
    "second rate": "a crown of one rate",
    "part round": "a crown without a part round",
    "double rounds": "the limit on double rounds",
    "nudge": "the limits on nudges",
    "brim sectors": "the range of brim sectors",
    "brim rhythm": "the rhythms allowed in the brim",
    "firm rounds": "the firm last rounds",
    "repeat width": "the width of a repeat",
    "give": "the give of a repeat",
    "depth": "the depth",
    "rounds": "the number of rounds in a section",
    "brim width": "the width of the brim",
    "flare": "the flare of the brim",
    "edge circumference": "the circumference of the edge",
}
"""Each requirement as the maker would name it."""


NOUNS: dict[Requirement, str] = {
    "start count": "stitches to start with",
    "crown sectors": "sectors",
    "brim sectors": "sectors",
    "second rate": "slower rates",
    "part round": "part rounds",
    "double rounds": "double rounds",
    "firm rounds": "firm last rounds",
    "give": "stitches of give",
}
"""What is counted, where a requirement is a range of whole numbers."""


def up(value: float, places: int) -> float:
    """Rounded up, so that an allowance printed is an allowance that works."""
    step = 10.0**places
    return ceil(value * step - 1e-6) / step


def enough(cm: float, unit: Unit) -> str:
    """A length to allow, with its unit, rounded up in that unit."""
    places = 1 if unit == "cm" else 2
    return f"{number(up(in_unit(cm, unit), places), places)} {unit}"


def span_words(low: float | None, high: float | None, places: int = 0) -> str:
    """``6 to 16``, ``at least 6``, ``at most 16``."""
    if low is not None and high is not None:
        a, b = number(low, places), number(high, places)
        return f"only {a}" if a == b else f"{a} to {b}"
    if low is not None:
        return f"at least {number(low, places)}"
    return "any" if high is None else f"at most {number(high, places)}"


def breach_words(breach: Breach, unit: Unit) -> str:
    """What a tally breaks: what was found and what the brief allows."""
    where, found = clean(breach.section), breach.found
    match breach.requirement:
        case "circumference" | "depth" | "brim width" | "edge circumference" | "repeat width":
            return _length_breach(breach, unit)
        case "flare":
            return f"flare {number(found, 1)} degrees, {_allowed(breach)}"
        case "repeat":
            return f"{where}: {found:.0f} is no multiple of {breach.low or 0:.0f}"
        case "edging repeat":
            return f"{where}: {found:.0f} is no multiple of {breach.low or 0:.0f}"
        case "even increases":
            return f"{where}: {found:.0f} increases do not come out even"
        case "nudge":
            return _nudge_breach(breach)
        case "brim rhythm":
            return f"{where}: its rhythm is not among those allowed"
    what = NOUNS.get(breach.requirement, breach.requirement)
    return f"{where}: {found:.0f} {what}, {_allowed(breach)}"


def _nudge_breach(breach: Breach) -> str:
    """A nudge too large, too near another, or one that is really a part round."""
    where, found, high = clean(breach.section), breach.found, breach.high
    if high is None:
        return f"{where}: nudges only {found:.0f} rounds apart, {_allowed(breach)}"
    if abs(found) <= high:
        return f"{where}: a nudge of {found:+.0f} that is really a part round"
    return f"{where}: a nudge of {found:+.0f}, up to {high:.0f} allowed"


def _allowed(breach: Breach) -> str:
    return f"{span_words(breach.low, breach.high)} allowed"


def _length_breach(breach: Breach, unit: Unit) -> str:
    """Lengths: by how much past which end, and how far the brief goes."""
    names = {
        "circumference": f"{clean(breach.section)}: around",
        "depth": "depth",
        "brim width": "brim width",
        "edge circumference": "edge",
        "repeat width": f"{clean(breach.section)}: repeat",
    }
    what, places = names[breach.requirement], 2
    found = length(breach.found, unit, places)
    if breach.high is not None and breach.found > breach.high:
        return f"{what} {found} {unit}, at most {length(breach.high, unit, places)} allowed"
    if breach.low is not None:
        return f"{what} {found} {unit}, at least {length(breach.low, unit, places)} allowed"
    return f"{what} {found} {unit} is outside what is allowed"


def mend_words(miss: NearMiss, unit: Unit) -> str:
    """The one change to the brief that would let a near miss in."""
    breach = miss.breach
    off = _off_middle(breach)
    match breach.requirement:
        case "circumference":
            return f"allow circumference {enough(off or abs(miss.miss_cm), unit)} off"
        case "repeat width":
            middle = _middle(breach)
            share = up(100 * off / middle, 0) if middle else 0
            return f"allow repeat width {share:.0f} % off"
        case "flare":
            return f"allow flare {up(off, 0):.0f} degrees off"
        case "depth" | "brim width" | "edge circumference":
            return f"allow {breach.requirement} {enough(off, unit)} off"
        case "nudge":
            if breach.high is None:
                return f"allow nudges {breach.found:.0f} rounds apart"
            return f"allow a nudge of {plural(round(abs(breach.found)), 'stitch', 'stitches')}"
        case "edging repeat":
            return "make the edging's repeat a wish"
        case "repeat":
            return f"another repeat for {clean(breach.section)}"
        case "even increases":
            return "allow it as a nudge"
        case "brim rhythm":
            return "allow another rhythm"
        case "part round" | "second rate":
            return f"allow a {breach.requirement}"
        case "brim sectors" | "crown sectors":
            return f"allow {breach.found:.0f} {breach.requirement}"
    what = NOUNS.get(breach.requirement, breach.requirement)
    return f"allow {breach.found:.0f} {what} in {clean(breach.section)}"


def _middle(breach: Breach) -> float:
    """The wish between two limits."""
    ends = [end for end in (breach.low, breach.high) if end is not None]
    return sum(ends) / len(ends) if ends else 0.0


def _off_middle(breach: Breach) -> float:
    """How far the value found is from the wish."""
    return abs(breach.found - _middle(breach))


def notice_words(notice: Notice) -> str:
    """A warning in words; never a refusal."""
    where, found, limit = clean(notice.section), notice.found, notice.limit
    match notice.what:
        case "fullness":
            return _fullness_words(where, found, limit)
        case "shape":
            return f"{where} is off a half sphere by {found:.2f} of fullness on average"
        case "slope":
            will = "will" if notice.strong else "may"
            return f"{where} {will} ripple: grows {found:.2f} times as fast as flat"
        case "width step":
            return f"{where}: its stitches are {found:.1f} % wider or narrower than those before"
        case "stuck brim":
            return f"{where} is stuck: no number of sectors in its range divides {found:.0f}"
        case "edging":
            return f"{where}: its repeat does not come out even on {found:.0f}"
        case "corners":
            return f"{where}: {found:.0f} sectors, and fewer than six make corners"


def _fullness_words(where: str, found: float, limit: float) -> str:
    """Only over flat it ripples; a dome asked for is flatter or more pointed than wished."""
    places = 2 if f"{found:.2f}" != f"{limit:.2f}" else 3
    shown, side = f"fullness {found:.{places}f}", "over" if found > limit else "under"
    if found > limit:
        what = "may ripple" if limit > 1 else "is flatter than the dome asked for"
    else:
        what = "may cup" if limit > 0.9 else "is more pointed than the dome asked for"
    return f"{where} {what}: {shown}, {side} {limit:.2f}"


def requirements_words(mends: tuple[Requirement, ...]) -> list[str]:
    """The requirements that, given up alone, would let a hat through."""
    return [REQUIREMENTS[mend] for mend in mends]


def giving_up_words(names: Sequence[str]) -> str:
    """Which of these would do, each given up by itself."""
    if not names:
        return "No single requirement is to blame: at least two must give way."
    if len(names) == 1:
        return f"Giving up one requirement would do: {names[0]}."
    return f"Giving up any one of these would do: {', '.join(names[:-1])} or {names[-1]}."
