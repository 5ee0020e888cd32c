"""The words of a ranking that more than one format uses."""

from __future__ import annotations

from evenround.solver.candidate import NearMiss
from evenround.tables.facts import stitches
from evenround.tables.gauges import StatedGauge
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import breach_words, mend_words
from evenround.tables.words import CM_PER_INCH, clean, length, plural, signed
from evenround.tables.yarns import Yarn

from .outcome import Made, RankedYarn, Ranking

NOT_WEIGHED = "not weighed"


def gauge_words(yarn: Yarn, terms: str) -> str:
    """``hdc 18 x 13.5 / 10 cm, sc 19 x 22 / 10 cm`` in the brief's terms."""
    own = {us: name for name, us in stitches(terms).items()}
    return ", ".join(f"{own[us]} {stated_words(each)}" for us, each in yarn.gauges.items())


def stated_words(stated: StatedGauge) -> str:
    """``18 x 13.5 / 10 cm`` as it was stated."""
    inches = round(stated.over_cm / CM_PER_INCH, 6)
    whole = inches == int(inches)
    over = f"{inches:g} in" if whole else f"{stated.over_cm:g} cm"
    rounds = "" if stated.rounds is None else f" x {stated.rounds:g}"
    return f"{stated.stitches:g}{rounds} / {over}"


def ball_words(yarn: Yarn) -> str | None:
    """``balls of 50 g, 120 m``; None where nothing is known."""
    parts = []
    if yarn.ball_grams is not None:
        parts.append(f"{yarn.ball_grams:g} g")
    if yarn.ball_metres is not None:
        parts.append(f"{yarn.ball_metres:g} m")
    return f"balls of {', '.join(parts)}" if parts else None


def how_made(made: Made) -> str:
    """``well``, ``fairly`` or ``not``."""
    if made.candidate is None:
        return "not"
    return "well" if made.well else "fairly"


def counted(each: RankedYarn) -> str:
    """How many sizes the yarn makes, and how many well."""
    done = sum(m.candidate is not None for m in each.made)
    well = sum(m.well for m in each.made)
    return f"{done} of {len(each.made)}, {well} well"


def yarn_words(made: Made) -> str:
    """``62 g + 10% = 69 g, 2 balls``, or that it was not weighed."""
    if made.candidate is None:
        return ""
    yarn = made.candidate.measures.yarn
    if yarn.grams is None or made.grams_with_margin is None:
        return NOT_WEIGHED
    words = f"{yarn.grams:.0f} g + {yarn.margin:.0%} = {made.grams_with_margin:.0f} g"
    return words if made.balls is None else f"{words}, {plural(made.balls, 'ball')}"


def unweighed_sections(made: Made, *, assumed: bool) -> list[str]:
    """Sections without an amount in this yarn: those whose gauge is ``assumed``, which no swatch
    weighs, or those with a gauge, whose stitch or figure nobody weighed. A nudge is weighed with
    the section before it."""
    if made.candidate is None:
        return []
    tally, parts = made.candidate.tally.sections, made.candidate.measures.yarn.parts
    own = [p for s, p in zip(tally, parts, strict=True) if s.section != "nudge"]
    return [
        clean(part.section)
        for part, spec in zip(own, made.plan.piece.sections, strict=True)
        if part.grams is None and spec.gauge.assumed == assumed
    ]


def nearest_miss(made: Made) -> NearMiss | None:
    """The near miss with the smallest miss around, where the size is not made."""
    misses = made.fit.near_misses if made.candidate is None else ()
    return min(misses, key=lambda m: (abs(m.miss_cm), m.side_count), default=None)


def miss_words(made: Made, unit: Unit) -> str:
    """Why a size is not made: the nearest miss, what it breaks and what would mend it."""
    miss = nearest_miss(made)
    if miss is None:
        return "no count is just outside a single requirement"
    around = f"{miss.side_count} sts, {length(miss.around_cm, unit)} {unit}"
    off = f"({signed(miss.miss_cm, unit)})"
    mend = mend_words(miss, unit)
    words = f"nearest {around} {off} breaks {breach_words(miss.breach, unit)}"
    return f"{words}; {mend}" if mend else words


def plans_of(ranking: Ranking) -> list[Plan]:
    """Every plan listed, yarn by yarn."""
    return [made.plan for each in ranking.yarns for made in each.made]


def shared_sentences(ranking: Ranking, which: str) -> list[str]:
    """Sentences (``assumptions`` or ``notes``) that all plans have, in order."""
    lists = [getattr(plan, which) for plan in plans_of(ranking)]
    if not lists:
        return []
    common = set(lists[0]).intersection(*lists[1:])
    return [sentence for sentence in lists[0] if sentence in common]


def own_assumptions(each: RankedYarn, shared: list[str]) -> list[str]:
    """What is assumed of this yarn and not of all."""
    found = dict.fromkeys(s for made in each.made for s in made.plan.assumptions)
    return [sentence for sentence in found if sentence not in shared]
