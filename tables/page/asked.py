"""What the brief asks for, as names with short lines, and what was assumed or noted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from evenround.solver.piece import Band, Brim, Crown, Edging, Even, Section
from evenround.tables.cautions import cautions
from evenround.tables.pattern.front import gauge_lines
from evenround.tables.plan import Plan, Unit
from evenround.tables.rounds.writer import names
from evenround.tables.words import clean, length, plural, shortly, signed

from .views import Fact


def asked(plans: Sequence[Plan], unit: Unit) -> Iterator[Fact]:
    """The facts of a brief; what differs by size has a line a size."""
    plan = plans[0]
    if len(plan.sizes) > 1:
        yield Fact(
            "Sizes" if len(plans) > 1 else "Size", (", ".join(clean(p.size) for p in plans),)
        )
    for name, lines in (
        ("Head", [_long(p.head_cm, unit) for p in plans]),
        ("Ease", [_ease(p, unit) for p in plans]),
        ("Finished, around", [_around(p, unit) for p in plans]),
        ("Depth, along the fabric", [_long(p.piece.depth_cm, unit) for p in plans]),
    ):
        if any(lines):
            yield Fact(name, tuple(_by_size(plans, lines)))
    word = "Gauge" if plan.terms == "us" else "Tension"
    assumed = " (the body's gauge is assumed)" if plan.gauge_assumed else ""
    yield Fact(word, tuple(f"{line}{assumed}" for line in gauge_lines(plan)))
    yield Fact("Sections, in order", tuple(_sections(plans, unit)))
    how = "joined rounds" if plan.joined else "a spiral"
    terms = "US terms" if plan.terms == "us" else "UK terms"
    yield Fact("Worked in", (f"{how}, {terms}",))


def _by_size(plans: Sequence[Plan], lines: Sequence[str]) -> Iterator[str]:
    """One line where all sizes agree; else a line a size."""
    if len(set(lines)) == 1:
        yield lines[0]
        return
    yield from (f"{clean(p.size)}: {line or 'none'}" for p, line in zip(plans, lines, strict=True))


def _long(cm: float | None, unit: Unit) -> str:
    return "" if cm is None else f"{length(cm, unit)} {unit}"


def _ease(plan: Plan, unit: Unit) -> str:
    return "" if plan.ease_cm is None else f"{signed(plan.ease_cm, unit)} {unit}"


def _around(plan: Plan, unit: Unit) -> str:
    far = f"give or take {shortly(plan.piece.limits.around_cm, unit)} {unit}"
    if plan.piece.around_cm is not None:
        return f"{length(plan.piece.around_cm, unit)} {unit}, {far}"
    return f"each section has its own, {far}"


def _sections(plans: Sequence[Plan], unit: Unit) -> Iterator[str]:
    """A line a section: its name, what it is where the name does not say so, its stitch and
    what is wished of it."""
    for i, us in enumerate(plans[0].section_stitches):
        first = plans[0].piece.sections[i]
        stitch = names(plans[0].terms).get(us, us)
        every = [", ".join(_wishes(plan.piece.sections[i], unit)) for plan in plans]
        wishes = every[0] if len(set(every)) == 1 else _spread(every)
        kind = type(first).__name__.lower()
        name = clean(first.name)
        what = name if kind in name.casefold() or kind == "even" else f"{name} ({kind})"
        yield f"{what}, in {stitch}{': ' if wishes else ''}{wishes}"


def _spread(every: Sequence[str]) -> str:
    """What differs by size: the first and the last."""
    return f"{every[0]} (first size) to {every[-1]} (last size)"


def _wishes(section: Section, unit: Unit) -> Iterator[str]:
    match section:
        case Crown():
            yield section.shape
            if section.sectors_wished:
                yield f"{section.sectors_wished} sectors wished"
        case Even() if section.around_cm is not None:
            yield f"{_long(section.around_cm, unit)} around"
        case Band():
            yield from _band(section, unit)
        case Brim():
            yield f"{_long(section.width_cm, unit)} wide"
            if section.flare_deg is not None:
                yield f"{section.flare_deg:g} degrees from straight down"
            if section.fullness is not None:
                yield f"{section.fullness:g} times as full as flat"
            if section.firm_rounds:
                yield f"{plural(section.firm_rounds, 'firm last round')}"
        case Edging():
            yield f"repeat of {section.figure.at(0)[0]}"


def _band(band: Band, unit: Unit) -> Iterator[str]:
    give = " and plain stitches of give" if band.figure.has_give else ""
    over = f" + {band.remainder}" if band.remainder else ""
    yield f"repeat of {band.figure.at(0)[0]}{over}{give}"
    if band.repeat_wish_cm is not None:
        yield f"a repeat wished {length(band.repeat_wish_cm, unit, 2)} {unit} wide"
    if band.around_cm is not None:
        yield f"{_long(band.around_cm, unit)} around"


def told(plans: Sequence[Plan]) -> Iterator[Fact]:
    """What was assumed and how the brief was read."""
    for name, said in (
        ("Assumed", [p.assumptions for p in plans]),
        ("Notes", [p.notes for p in plans]),
    ):
        lines = tuple(dict.fromkeys(clean(s) for each in said for s in each))
        if lines:
            yield Fact(name, lines)


def told_cautions(plans: Iterable[Plan]) -> tuple[str, ...]:
    """The cautions of all sizes, each once."""
    return tuple(dict.fromkeys(text for plan in plans for text in cautions(plan)))
