"""Gauges as people state them, and a book of them that answers for every stitch.

``16 x 12 / 10cm`` is a gauge; ``16 / 10cm`` has no rounds and is taken to lie flat at the
stitch's common rate. A stitch nobody swatched is estimated from one somebody did, and a yarn
class stands in where there is no swatch at all. Every estimate is marked and comes with one
sentence that says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite, pi

from evenround.solver.gauge import cupped_disc_gauge, disc_gauge, swatch_gauge
from evenround.solver.piece import Gauge
from evenround.solver.sure_swatch import spread_share

from .facts import flat_rates, proportions, table
from .lengths import CM_PER, parse_length

RIGHT = "a gauge is written stitches x rounds / 10cm or / 4in, such as 16 x 12 / 10cm"
WHICH = "say what it is over, / 10cm or / 4in: yarn labels mix the two up"
FOUR_INCHES = 10.16
FEWEST_ROUNDS = 8
"""Discs of fewer rounds are warned of: on a published set of hats the stitches of an eight-round
disc were a tenth narrower than those of a five-round one (crochetdreamz.com, sun hat for boys)."""
_MOST = 150.0

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_WORD = r"(?:[a-z]+\.?)"
_TEXT = re.compile(
    rf"(?P<stitches>{_NUMBER})\s*(?P<word>{_WORD}?)\s*"
    rf"(?:(?:[x\u00d7*]|by|and)\s*(?P<rounds>{_NUMBER})\s*(?P<round_word>{_WORD}?)\s*)?"
    r"(?:(?:/|=|per\b|over\b|to\b)\s*(?P<over>.+))?"
)
_STITCH_WORDS = {"st", "sts", "stitch", "stitches"}
_ROUND_WORDS = {"rnd", "rnds", "round", "rounds", "row", "rows"}


@dataclass(frozen=True, slots=True)
class StatedGauge:
    """A swatch as stated: counts over ``over_cm``; ``word`` is the stitch it names, if it does.

    ``stitches_counted`` and ``rounds_counted`` are the single counts where it was measured more
    than once; ``stitches`` and ``rounds`` are then their means.
    """

    stitches: float
    rounds: float | None
    over_cm: float
    word: str | None = None
    stitches_counted: tuple[float, ...] = ()
    rounds_counted: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Measured:
    """One stitch's gauge with how it was stated and the sentences about what was assumed.

    ``spread_share`` is the standard deviation of its stitches over their mean, where something
    is known of it; ``rounds_spread_share`` that of its rounds, where they were counted repeatedly.
    """

    gauge: Gauge
    stitches: float
    over_cm: float
    assumptions: tuple[str, ...] = ()
    spread_share: float | None = None
    rounds_spread_share: float | None = None


def parse_gauge(text: str) -> StatedGauge:
    """Read ``16 x 12 / 10cm``, with or without words; ValueError says what is wrong with it."""
    found = _TEXT.fullmatch(text.strip().lower())
    if found is None or len(text) > 80:
        raise ValueError(RIGHT)
    if found["over"] is None:
        raise ValueError(WHICH)
    word, round_word = found["word"].rstrip("."), (found["round_word"] or "").rstrip(".")
    if round_word and round_word not in _ROUND_WORDS:
        raise ValueError(RIGHT)
    over = _over(found["over"])
    rounds = None if found["rounds"] is None else _count("rounds", found["rounds"])
    named = None if not word or word in _STITCH_WORDS else word
    return StatedGauge(_count("stitches", found["stitches"]), rounds, over, named)


def _over(text: str) -> float:
    if re.fullmatch(_NUMBER, text.strip()):
        raise ValueError(WHICH)
    try:
        over = parse_length(text, "cm")
    except ValueError as error:
        raise ValueError(RIGHT) from error
    if not 1 <= over <= 100:
        raise ValueError("a gauge is counted over 1 to 100 cm, best over 10cm or 4in")
    return over


def _count(what: str, text: str) -> float:
    number = float(text.replace(",", "."))
    if not isfinite(number) or not 0 < number <= _MOST:
        raise ValueError(f"the {what} of a gauge are more than 0 and at most {_MOST:.0f}")
    return number


def swatched(stitch: str, stated: StatedGauge, called: str | None = None) -> Measured:
    """Gauge of ``stitch`` (US abbreviation) from a swatch, its height taken flat if not counted.

    ``called`` is the stitch's name in the sentence, where the brief is not in US terms.
    """
    spread, slip = spread_share(stated.stitches_counted), _slip(called or stitch, stated.over_cm)
    if stated.rounds is not None:
        gauge = swatch_gauge(stated.stitches, stated.rounds, stated.over_cm)
        of_rounds = spread_share(stated.rounds_counted)
        return Measured(gauge, stated.stitches, stated.over_cm, slip, spread, of_rounds)
    width, rate = stated.over_cm / stated.stitches, flat_rates()[stitch]
    sentence = (
        f"{called or stitch}: rounds were not counted; the height is taken so that "
        f"{rate:g} increases a round lie flat"
    )
    gauge = Gauge(width, rate * width / (2 * pi), assumed=True)
    return Measured(gauge, stated.stitches, stated.over_cm, (*slip, sentence), spread)


def _slip(called: str, over_cm: float) -> tuple[str, ...]:
    """What to ask where the lengths usual in cm and in inches may have been mixed up."""
    for found, said in ((10 * CM_PER["in"], "10 in"), (4.0, "4 cm")):
        if abs(over_cm - found) < 1e-6:
            return (f"{called}: counted over {said}, as written; 10 cm and 4 in are usual",)
    return ()


def disc(
    called: str, rounds: int, stitches: int, across_cm: float, hole_cm: float, *, said_flat: bool
) -> Measured:
    """Gauge from a disc; one not said to lie flat carries the sentence that asks."""
    gauge = disc_gauge(rounds, stitches, across_cm, hole_cm)
    sentence = f"{called}: a disc calls itself flat; say lies_flat, or measure along and edge"
    asked = () if said_flat else (sentence,)
    return Measured(gauge, 10 / gauge.width_cm, 10.0, (*asked, *_small(called, rounds)))


def too_small(rounds: int) -> str | None:
    """Why a disc of so many rounds is no measure for a hat; None where it is one."""
    if rounds >= FEWEST_ROUNDS:
        return None
    several = "1 round" if rounds == 1 else f"{rounds} rounds"
    return (
        f"a disc of {several} is too small to plan a hat by: stitches are wider near the middle, "
        f"on one published set by a tenth. Work {FEWEST_ROUNDS} rounds or more and measure again "
        "before you trust this width"
    )


def _small(called: str, rounds: int) -> tuple[str, ...]:
    words = too_small(rounds)
    return () if words is None else (f"{called}: {words}",)


def cupped_disc(
    called: str, rounds: int, stitches: int, along_cm: float, edge_cm: float, hole_cm: float
) -> Measured:
    """Gauge from a disc that does not lie flat, measured on the fabric."""
    gauge = cupped_disc_gauge(rounds, stitches, along_cm, edge_cm, hole_cm)
    return Measured(gauge, 10 / gauge.width_cm, 10.0, _small(called, rounds))


def yarn_class_gauge(number: int, called: str = "sc") -> Measured:
    """sc at the middle of a class's published range over 4 in, flat at 6 (yarn_weights.csv)."""
    row = next(r for r in table("yarn_weights") if r["class"] == str(number))
    low, high = float(row["sc_per_4in_min"]), float(row["sc_per_4in_max"])
    middle = (low + high) / 2
    flat = swatched("sc", StatedGauge(middle, None, FOUR_INCHES))
    sentence = (
        f"{called}: nothing was swatched; taken as {middle:g} sts over 4 in, the middle of "
        f"yarn class {number} ({low:g} to {high:g}), lying flat at 6"
    )
    # the class's whole range is taken as two standard deviations either side
    return replace(flat, assumptions=(sentence,), spread_share=(high - low) / 4 / middle)


class GaugeBook:
    """Every stitch's gauge by US abbreviation: swatched ones as they are, the rest estimated.

    ``body`` is the stitch whose swatch is preferred for estimates; ``stated`` is not empty.
    ``names`` has the stitches' names for sentences, where they are not the US ones.
    """

    def __init__(
        self, stated: Mapping[str, Measured], body: str, names: Mapping[str, str] | None = None
    ) -> None:
        if not stated:
            raise ValueError("a gauge book needs one gauge at least")
        self._stated = dict(stated)
        self._body = body
        self._names = names or {}

    def measured(self, stitch: str) -> Measured:
        """The gauge of ``stitch`` with its sentences; KeyError for a stitch not in the tables."""
        if stitch in self._stated:
            return self._stated[stitch]
        source = self._source()
        base = self._stated[source]
        tall = proportions()
        height = base.gauge.height_cm * tall[stitch] / tall[source]
        called = self._names.get
        sentence = (
            f"{called(stitch, stitch)}: not swatched; taken as wide as "
            f"{called(source, source)} and {tall[stitch]:g}/{tall[source]:g} of its height, "
            "by rule of thumb"
        )
        gauge = Gauge(base.gauge.width_cm, height, assumed=True)
        sentences = (*base.assumptions, sentence)
        return Measured(gauge, base.stitches, base.over_cm, sentences, base.spread_share)

    def swatched_as(self, stitch: str) -> str:
        """The stitch whose swatch a gauge comes from: its own, or the one it is estimated by."""
        return stitch if stitch in self._stated else self._source()

    def _source(self) -> str:
        """The body stitch's swatch, else one whose height was measured, else the first."""
        if self._body in self._stated:
            return self._body
        real = (name for name, entry in self._stated.items() if not entry.gauge.assumed)
        return next(real, next(iter(self._stated)))
