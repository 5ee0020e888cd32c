"""What measurements of a gauge amount to, with everything that has to be said about them.

Swatches: mean, spread and interval. Discs: the largest is believed, the others show how far a
disc can be trusted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from evenround.solver.sure_swatch import (
    LEAST_SPREAD,
    Disc,
    Repeated,
    largest,
    looks_mixed,
    reading_spread,
    repeated,
    width_spread,
)
from evenround.tables.facts import table
from evenround.tables.gauges import FOUR_INCHES, StatedGauge, too_small
from evenround.tables.lengths import CM_PER
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import length, listed, number

TEN_CM = 10.0
INCHES_SHARE = FOUR_INCHES / TEN_CM
HEAD = 56.0
"""An adult head in cm, for what a slip does where no brief is given."""

DISAGREE = 0.03
APART = 0.10
"""A standard deviation of this share of the mean is no slip: half a stitch in 10 cm is 3 %."""
STEPS = {"cm": ("half a cm", 0.5), "in": ("a quarter inch", 0.25 * 2.54)}


@dataclass(frozen=True, slots=True)
class Spread:
    """One row of the answer: a mean over ``over_cm`` with its spread, and the interval that holds
    the true mean 19 times of 20 (by the t distribution); None where only one was measured."""

    what: str
    found: Repeated
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class ForSize:
    """What the measured gauge does to one size, in cm. ``gives_cm`` is what the brief's own count
    comes out as; ``half_stitch_cm`` and ``half_round_cm`` what such an error moves, either way;
    ``spread_cm`` and ``depth_spread_cm`` what one standard deviation of the measurements does."""

    size: str
    around_cm: float
    brief_count: float
    count: float
    gives_cm: float
    half_stitch_cm: float
    spread_cm: float | None
    depth_cm: float | None
    half_round_cm: float | None
    depth_spread_cm: float | None


@dataclass(frozen=True, slots=True)
class GaugeAnswer:
    """The whole answer. Counts are over ``over_cm``; ``rounds`` None: not counted."""

    over_cm: float
    stitches: float
    rounds: float | None
    spreads: tuple[Spread, ...]
    discs: tuple[Disc, ...]
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    sizes: tuple[ForSize, ...] = ()


def over_name(over_cm: float) -> str:
    """``10 cm`` or ``4 in``."""
    inches = over_cm / CM_PER["in"]
    whole = abs(inches - round(inches)) < 1e-6
    return f"{round(inches)} in" if whole else f"{over_cm:g} cm"


def of_swatches(measures: Sequence[StatedGauge], over_cm: float) -> GaugeAnswer:
    """Repeated measurements of swatches, brought to one length. ValueError for none."""
    stitches = [m.stitches * over_cm / m.over_cm for m in measures]
    rounds = [m.rounds * over_cm / m.over_cm for m in measures if m.rounds is not None]
    spreads = [_spread("stitches", stitches)]
    if rounds:
        spreads.append(_spread("rounds", rounds))
    notes, warnings = _swatch_notes(measures, spreads, over_cm), []
    for what, counts in (("stitches", stitches), ("rounds", rounds)):
        if (bunches := looks_mixed(counts)) and len({m.over_cm for m in measures}) == 1:
            warnings.append(_mixed_words(what, *bunches))
    for spread, counts in zip(spreads, (stitches, rounds), strict=False):
        if words := _apart_words(spread, counts):
            warnings.append(words)
    mean_rounds = spreads[1].found.mean if rounds else None
    return GaugeAnswer(
        over_cm,
        spreads[0].found.mean,
        mean_rounds,
        tuple(spreads),
        (),
        tuple(notes),
        tuple(warnings),
    )


def t_quantile(freedom: int) -> float:
    """The 97.5th percentile of the t distribution (student_t.csv); beyond it, its last row."""
    rows = table("student_t")
    return float(rows[min(freedom, len(rows)) - 1]["t_975"])


def _spread(what: str, counts: Sequence[float]) -> Spread:
    found = repeated(counts)
    if found.error is None:
        return Spread(what, found, None, None)
    reach = t_quantile(found.count - 1) * found.error
    if reach >= found.mean:  # nothing is known but that it is more than none
        return Spread(what, found, None, None)
    return Spread(what, found, found.mean - reach, found.mean + reach)


def _apart_words(spread: Spread, counts: Sequence[float]) -> str | None:
    """What has to be said where counts lie further apart than anybody measures."""
    share = _share(spread)
    if share is None or share <= APART:
        return None
    low, high = (f"{end(counts):.4g}" for end in (min, max))
    return (
        f"The {spread.what} lie from {low} to {high}, further apart than slips of measuring: "
        "that is not one fabric's gauge. Count again, and leave out what was worked otherwise."
    )


def _swatch_notes(
    measures: Sequence[StatedGauge], spreads: Sequence[Spread], over_cm: float
) -> list[str]:
    notes = []
    if len(measures) == 1:
        notes.append(
            "One measurement says nothing of the spread; count three places, away from the edges."
        )
    elif all((s.found.deviation or 0.0) < LEAST_SPREAD for s in spreads):
        notes.append(
            "The counts agree more closely than they can be read; `fit --steady` takes a spread of "
            f"{LEAST_SPREAD:.2f}, that of reading to half a stitch."
        )
    named = {over_name(m.over_cm): None for m in measures}
    if len(named) > 1:
        notes.append(f"Measured over {listed(list(named))}: all brought to {over_name(over_cm)}.")
    if missing := sum(m.rounds is None for m in measures):
        notes.append(f"Rounds were not counted in {missing} of {len(measures)}.")
    return notes


def _mixed_words(what: str, low: Sequence[float], high: Sequence[float]) -> str:
    ratio = (sum(high) / len(high)) / (sum(low) / len(low))
    return (
        f"The {what} fall into two bunches, {_bunch(low)} and {_bunch(high)}, in a ratio of "
        f"{ratio:.3f}. 4 in is {INCHES_SHARE:.3f} times 10 cm: were some counted over the one and "
        "some over the other?"
    )


def _bunch(counts: Sequence[float]) -> str:
    return f"{len(counts)} about {sum(counts) / len(counts):.4g}"


def of_discs(discs: Sequence[Disc], over_cm: float, unit: Unit) -> GaugeAnswer:
    """The gauge of the largest disc, and how far the others agree with it."""
    chosen = largest(discs)
    notes, warnings = [], []
    if chosen.lies_flat is None:
        notes.append(
            "A disc that is measured across calls itself flat, so this gauge cannot tell whether "
            "it is: does it lie flat? If it cups or ripples, measure along the fabric and round "
            "the edge, and say 'along 6.2in, edge 18in' instead of its width."
        )
    if small := too_small(chosen.rounds):
        warnings.append(f"{small[0].upper()}{small[1:]}.")
    if len(discs) > 1 and (spread := width_spread(discs)) > DISAGREE:
        step, step_cm = STEPS[unit]
        read = min(reading_spread(discs, step_cm), spread)
        warnings.append(
            f"The discs disagree: their widest stitch is {100 * spread:.0f} % wider than their "
            f"narrowest. Measuring to {step} accounts for {100 * read:.0f} of that at most."
        )
    return GaugeAnswer(
        over_cm,
        over_cm / chosen.gauge.width_cm,
        over_cm / chosen.gauge.height_cm,
        (),
        tuple(discs),
        tuple(notes),
        tuple(warnings),
    )


def for_plan(answer: GaugeAnswer, plan: Plan, stitch: str | None) -> ForSize | None:
    """What the answer means for one size of a brief; None where no width is wished.

    ``stitch`` (US) is what was measured, None: the body's. ValueError where the brief has none.
    """
    around = wished_around(plan)
    if around is None:
        return None
    width = plan.over_cm / plan.gauge_stitches
    if stitch is not None:
        if stitch not in plan.section_stitches:
            known = listed(list(dict.fromkeys(plan.section_stitches)))
            raise ValueError(f"{stitch}: no section of the brief is worked in it; {known} are")
        width = plan.piece.sections[plan.section_stitches.index(stitch)].gauge.width_cm
    measured = answer.over_cm / answer.stitches
    shares = [_share(each) for each in answer.spreads]
    of_stitches, of_rounds = (*shares, None, None)[:2]
    depth, rounds = plan.piece.depth_cm, answer.rounds
    per_10 = None if rounds is None else rounds * 10 / answer.over_cm
    return ForSize(
        plan.size,
        around,
        around / width,
        around / measured,
        around / width * measured,
        around * 0.5 * measured / 10,
        None if of_stitches is None else around * of_stitches,
        depth,
        None if depth is None or per_10 is None else depth * 0.5 / per_10,
        None if depth is None or of_rounds is None else depth * of_rounds,
    )


def _share(spread: Spread) -> float | None:
    deviation = spread.found.deviation
    return None if deviation is None else deviation / spread.found.mean


def wished_around(plan: Plan) -> float | None:
    """The circumference wished for; of a piece that is no hat, its first section's own."""
    if plan.piece.around_cm is not None:
        return plan.piece.around_cm
    own = [getattr(section, "around_cm", None) for section in plan.piece.sections]
    return next((each for each in own if each is not None), None)


def disc_against_crown(answer: GaugeAnswer, sizes: Sequence[ForSize], unit: Unit) -> str | None:
    """How wide the largest disc is beside the crown it is to speak for; None without discs."""
    if not answer.discs or not sizes:
        return None
    across = largest(answer.discs).across_cm
    crown = max(size.around_cm for size in sizes) / pi
    return (
        f"The disc is {length(across, unit)} {unit} wide; a crown for the largest size is "
        f"{length(crown, unit)} {unit}, {number(crown / across, 1)} times as wide."
    )


def slip_words(answer: GaugeAnswer, unit: Unit) -> list[str]:
    """What half a stitch and the wrong one of 10 cm and 4 in do to an adult's hat."""
    per_10 = answer.stitches * 10 / answer.over_cm
    half = length(HEAD * 0.5 / per_10, unit, 2)
    head = length(HEAD, unit)
    lines = [
        f"Half a stitch off in 10 cm, which is ordinary, moves {head} {unit} by {half} {unit}."
    ]
    if not answer.discs and any(abs(answer.over_cm - o) < 1e-6 for o in (TEN_CM, FOUR_INCHES)):
        one, other = ("10 cm", "4 in") if answer.over_cm < 10.1 else ("4 in", "10 cm")
        off = length(HEAD * (INCHES_SHARE - 1), unit)
        lines.append(
            f"If it was counted over {other}, not {one}: {off} {unit} off on {head} {unit}."
        )
    return lines
