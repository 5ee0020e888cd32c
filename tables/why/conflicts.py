"""Which requirements cannot hold together, in the maker's words with the numbers."""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver.candidate import NearMiss, Requirement
from evenround.solver.near import misses_alone
from evenround.solver.piece import Band
from evenround.solver.price import repeat_um
from evenround.solver.rows import repeat_allowed
from evenround.solver.why import Why
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import breach_words
from evenround.tables.words import clean, length, listed, plural

from .asked import UM_PER_CM, asked_words
from .worst import worst_of_miss

NO_CONFLICT = (
    "With every requirement given up as far as would still be this piece, the sections do not meet "
    "either: look at what was measured, a gauge or the width of a repeat."
)


def conflict_words(
    plan: Plan, names: Sequence[Requirement], misses: Sequence[NearMiss], unit: Unit
) -> str:
    """One conflict: ``a repeat of 7 and 56.0 cm around within 0.5 cm cannot both hold: ...``."""
    asked = asked_words(plan, tuple(names), unit)
    nearest = _nearest(plan, names, misses, unit)
    cannot = {1: "cannot be met", 2: "cannot both hold"}.get(len(asked), "cannot all hold")
    return f"{listed(asked)} {cannot}{nearest}."


def _nearest(
    plan: Plan, names: Sequence[Requirement], misses: Sequence[NearMiss], unit: Unit
) -> str:
    """The nearest counts that only miss the circumference; else what else comes nearest. Where
    something else stands in the way as well, no count misses it alone: then the counts there
    would be without that."""
    if "circumference" in names:
        found = _either_side(misses) or _either_side(misses_alone(plan.piece, names))
        if found:
            return _counts(found, unit)
    if "repeat width" in names and (narrow := _nearest_repeat(plan, unit)):
        return narrow
    other = [m for m in misses if m.breach.requirement in names]
    if not other:
        return ""
    near = min(other, key=lambda m: abs(m.miss_cm))
    return f"; {near.side_count} sts come nearest ({breach_words(near.breach, unit)})"


def _nearest_repeat(plan: Plan, unit: Unit) -> str:
    """The repeat nearest its wished width, of the first band where none is near enough."""
    for band in plan.piece.sections:
        if not isinstance(band, Band) or band.repeat_wish_cm is None:
            continue
        low, high = band.give_range
        repeats = [band.figure.at(give)[0] for give in range(low, high + 1)]
        if any(repeat_allowed(plan.piece, band, repeat) for repeat in repeats):
            continue
        wish = band.repeat_wish_cm
        wide = {repeat: repeat_um(band, repeat) / UM_PER_CM for repeat in repeats}
        near = min(wide, key=lambda repeat: abs(wide[repeat] - wish))
        return f": the nearest repeat is {near} sts, {length(wide[near], unit, 2)} {unit} wide"
    return ""


def _either_side(misses: Sequence[NearMiss]) -> list[NearMiss]:
    """The nearest on either side that only misses the circumference."""
    missed = [m for m in misses if m.breach.requirement == "circumference"]
    small = max((m for m in missed if m.miss_cm < 0), key=lambda m: m.miss_cm, default=None)
    large = min((m for m in missed if m.miss_cm > 0), key=lambda m: m.miss_cm, default=None)
    return [m for m in (small, large) if m is not None]


def _counts(found: Sequence[NearMiss], unit: Unit) -> str:
    """``the nearest counts are 84 and 91 sts, 52.5 and 56.9 cm, 3.5 cm too small and ...``."""
    counts = listed([str(m.side_count) for m in found])
    arounds = listed([length(m.around_cm, unit) for m in found])
    offs = [_off(m, unit) for m in found]
    off = "; ".join(offs) if any("," in each for each in offs) else listed(offs)
    are = "counts are" if len(found) > 1 else "count is"
    return f": the nearest {are} {counts} sts, {arounds} {unit} ({off})"


def _off(miss: NearMiss, unit: Unit) -> str:
    words = [_off_words(miss.miss_cm, unit), *worst_of_miss(miss, unit)]
    return " with ".join(words)


def _off_words(cm: float, unit: Unit) -> str:
    """A miss with its side: ``3.5 cm too small``."""
    return f"{length(abs(cm), unit)} {unit} too {'small' if cm < 0 else 'big'}"


def first_conflict(
    plan: Plan, names: Sequence[Requirement], misses: Sequence[NearMiss], unit: Unit
) -> str:
    """A conflict, and that any one of its members given up lets the rest be met."""
    words = f"Conflict: {conflict_words(plan, names, misses, unit)}"
    if len(names) < 2:
        return words
    any_one, rest = ("either", "other") if len(names) == 2 else ("any one of them", "rest")
    return f"{words} Give up {any_one}, and the {rest} can be met."


def conflicts_words(plan: Plan, why: Why, misses: Sequence[NearMiss], unit: Unit) -> list[str]:
    """A sentence or two for every conflict, the first first."""
    if not why.conflicts:
        return [NO_CONFLICT]
    first, *further = [c.requirements for c in why.conflicts]
    lines = [first_conflict(plan, first, misses, unit)]
    for names in further:
        words = conflict_words(plan, names, misses, unit)
        lines.append(f"A further conflict, whatever is done about that one: {words}")
    return lines


def confirmed_words(why: Why, seconds: float) -> str:
    """How the verdict was confirmed, or in so many words that it was not."""
    if why.confirmed_by == "unconfirmed":
        return (
            f"Not confirmed: the second opinion came to no verdict within {seconds:g} s. The "
            "search looked everywhere and found nothing; a longer --time-limit may settle it."
        )
    return (
        "Confirmed by a second opinion: a model of its own, which shares nothing with the search, "
        "finds no design either."
    )


def contradicted_words(why: Why) -> list[str]:
    """The two paths disagree: what the second opinion found, and whom to tell."""
    if why.possible:
        return [
            "The search found a design, but the second opinion says there is none. One of them "
            "is wrong, and that is a fault of evenround: please report it, with the brief."
        ]
    lines = [
        "The search found no design, but the second opinion found the one below. One of them is "
        "wrong, and that is a fault of evenround: please report it, with the brief and these "
        "lines. Take neither answer for granted until then."
    ]
    return lines + [
        f"{clean(name)}: {plural(rounds, 'round')}, from {before} to {after} sts"
        for name, rounds, before, after in why.opinion.sections
    ]
