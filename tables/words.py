"""Counts into a maker's words: crowns, rhythms, repeats, nudges, single rounds.

Plain functions over a tally; nothing here prints, wraps or knows how wide a page is.
"""

from __future__ import annotations

from collections import Counter

from evenround.solver.candidate import BandMeasure, Nudge
from evenround.solver.piece import Rhythm
from evenround.solver.recount import spread
from evenround.solver.tally import SectionTally, Tally

from .plan import Plan, Unit

CM_PER_INCH = 2.54


def clean(text: str) -> str:
    """A name from a brief on one line, without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def in_unit(cm: float, unit: Unit) -> float:
    """A length in cm as a number of ``unit``."""
    return cm if unit == "cm" else cm / CM_PER_INCH


def number(value: float, places: int) -> str:
    """A number with fixed places and never a minus zero."""
    return f"{round(value, places) + 0.0:.{places}f}"


def length(cm: float, unit: Unit, places: int | None = None) -> str:
    """A length without its unit: one place in cm, two in inches, unless told otherwise."""
    if places is None:
        places = 1 if unit == "cm" else 2
    return number(in_unit(cm, unit), places)


def shortly(cm: float, unit: Unit) -> str:
    """A length without its unit, two places at most and no nought at the end: ``1.25``, ``2``."""
    return f"{round(in_unit(cm, unit), 2):g}"


def signed(cm: float, unit: Unit) -> str:
    """A miss with its sign: ``+0.2``, ``-0.7``; a plain 0 where it rounds away."""
    places = 1 if unit == "cm" else 2
    value = round(in_unit(cm, unit), places)
    return number(0.0, places) if value == 0 else f"{value:+.{places}f}"


def over_words(plan: Plan) -> str:
    """What the body's gauge is stated over: ``10 cm`` or ``4 in``."""
    inches = round(plan.over_cm / CM_PER_INCH, 6)
    return f"{inches:g} in" if inches == int(inches) else f"{plan.over_cm:g} cm"


def own_stitch(plan: Plan, section: int) -> str:
    """The abbreviation of a section's stitch in the brief's own terms."""
    from .facts import stitches

    us = plan.section_stitches[section]
    return next((own for own, known in stitches(plan.terms).items() if known == us), us)


def ordinal(n: int) -> str:
    """``1st``, ``2nd``, ``3rd``, ``11th``."""
    endings = {1: "st", 2: "nd", 3: "rd"}
    ending = "th" if n % 100 in (11, 12, 13) else endings.get(n % 10, "th")
    return f"{n}{ending}"


def times(n: int) -> str:
    """``once``, ``twice``, ``8 times``."""
    return {1: "once", 2: "twice"}.get(n, f"{n} times")


def listed(items: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def plural(n: int, one: str, many: str | None = None) -> str:
    """``1 stitch``, ``2 stitches``."""
    return f"{n} {one}" if n == 1 else f"{n} {many or one + 's'}"


def crown_words(tally: Tally) -> str | None:
    """The crown in short: ``8 x 13 + 4``, ``16 x 3, then 6 x 2``, ``10 + 8 x 9``.

    The first number is what a full round adds; the first round counts as one of its rounds
    when the start is the same number. A lone smaller round at the end is the part round,
    written with a plus. None without a crown.
    """
    rates = tally.crown_rates
    if rates is None:
        return None
    if not rates:
        return f"{tally.start} x 1"
    return _rates_words(tally.start, list(rates))


def _rates_words(start: int, rates: list[tuple[int, int]]) -> str:
    """``rates`` after a first round of ``start`` stitches, in short."""
    (adds, rounds), later = rates[0], rates[1:]
    words = f"{adds} x {rounds + 1}" if start == adds else f"{start} + {adds} x {rounds}"
    for place, (adds, rounds) in enumerate(later, 1):
        if adds == 0:
            words += f", {rounds} even"
        elif place == len(later) and rounds == 1 and 0 < adds < rates[0][0]:
            words += f" + {adds}"
        else:
            words += f", then {adds} x {rounds}"
    return words


def rhythm_words(rhythm: Rhythm | None) -> str | None:
    """``every round``, ``every 2nd round``, ``2 of 3 rounds``."""
    if rhythm is None:
        return None
    if rhythm.increases > 1:
        return f"{rhythm.increases} of {rhythm.block} rounds"
    return "every round" if rhythm.block == 1 else f"every {ordinal(rhythm.block)} round"


def repeats_words(band: BandMeasure, *, named: bool) -> str:
    """``12 x 9``, with the band's name first where there are several."""
    over = f" + {band.remainder}" if band.remainder else ""
    words = f"{band.repeats} x {band.repeat}{over}"
    return f"{clean(band.name)} {words}" if named else words


def edging_words(tally: Tally) -> str | None:
    """The edging as repeats x multiple; None without one or where it does not come out even."""
    for section in tally.sections:
        if section.section == "edging" and section.repeat and section.repeats:
            return f"{section.repeats} x {section.repeat}"
    return None


def nudge_words(nudge: Nudge) -> str:
    """``2 more before fan (rnd 15)``."""
    way = "more" if nudge.change > 0 else "fewer"
    return f"{abs(nudge.change)} {way} before {clean(nudge.before)} (rnd {nudge.round})"


def increase_rounds(section: SectionTally) -> int:
    """How many of a section's rounds grow."""
    return sum(change > 0 for change in section.changes)


def round_words(count_in: int, change: int, sectors: int | None) -> str:
    """What one plain, increase or decrease round does: ``increase on 8, 7 plain between``."""
    if change == 0:
        return "work even"
    if change < 0:
        return _decrease_words(count_in, -change)
    if change % count_in == 0:
        return f"{_many(change // count_in + 1)} in each stitch"
    if change > count_in:
        return f"{change} more, so {change // count_in + 1} or more in each stitch"
    if count_in % change:
        return f"{plural(change, 'increase')}, {_gaps_words(spread(count_in, change), 1)}"
    plain = count_in // change - 1
    if change == sectors:
        return f"increase on {change} sectors, {plain} plain between"
    return f"{plural(change, 'increase')}, {plain} plain between"


def _decrease_words(count_in: int, fewer: int) -> str:
    """Two together ``fewer`` times, evenly spread."""
    return f"two together {times(fewer)}, {_gaps_words(spread(count_in, fewer), 2)}"


def _gaps_words(gaps: list[int], used: int) -> str:
    """``12 plain before 3 of them, 11 before 1``; one figure where all gaps agree. A change uses
    ``used`` stitches of its gap, the rest are plain."""
    runs = sorted(Counter(gap - used for gap in gaps).items(), reverse=True)
    if len(runs) == 1:
        return f"{runs[0][0]} plain before each"
    (longer, many), (shorter, few) = runs
    return f"{longer} plain before {many} of them, {shorter} before {few}"


def _many(n: int) -> str:
    """Two to four in words, as makers say it."""
    return {2: "two", 3: "three", 4: "four"}.get(n, str(n))
