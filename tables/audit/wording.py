"""Small pieces of wording the audit shares: counts with their kind, changes, whole rounds."""

from __future__ import annotations

from collections.abc import Sequence

from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.steps import Step
from evenround.tables.rounds.stepwise import all_steps
from evenround.tables.rounds.writer import write_steps

from .variants import Variant

_FIGURES = {"shell", "fan", "puff", "bobble", "popcorn", "cluster", "picot", "repeat", "mesh"}


def counted(number: int, what: str) -> str:
    """``48 dc``, ``48``: a count with what it counts, where that is said."""
    plural = number != 1 and what.lower() in _FIGURES
    return (
        f"{number} {what}{'es' if what[-1:] == 'h' else 's'}"
        if plural
        else (f"{number} {what}".strip())
    )


def round_words(steps: Sequence[Step], terms: Terms) -> str:
    """A whole round in one sentence without its full stop."""
    return write_steps(steps, terms).removesuffix(".")


def step_words(step: Step, terms: Terms) -> str:
    """One step in the middle of a sentence."""
    words = write_steps((step,), terms).removesuffix(".")
    return words[:1].lower() + words[1:] if words[:2].lower() != words[:2].upper() else words


def change_words(steps: Sequence[Step], variant: Variant, terms: Terms) -> str:
    """What a change is: ``the last "sc in next 6 sts" should be "sc in next 5 sts"``."""
    before = step_words(variant.before, terms)
    which = _which(steps, variant)
    if variant.after is None:
        return f"{which}\u201c{before}\u201d should go"
    after = step_words(variant.after, terms)
    both = " both times" if variant.change == "together" else ""
    return f"{which}\u201c{before}\u201d should be \u201c{after}\u201d{both}"


def _which(steps: Sequence[Step], variant: Variant) -> str:
    """``the first``, ``the last`` or ``the 2nd`` where the round has such a step more than
    once."""
    every = list(all_steps(steps))
    if variant.change == "together":
        return ""
    like = [at for at, step in enumerate(every) if step == variant.before]
    if len(like) < 2 or variant.position not in like:
        return ""
    place = like.index(variant.position)
    if place == 0:
        return "the first "
    if place == len(like) - 1:
        return "the last "
    return f"the {_ordinal(place + 1)} "


def _ordinal(n: int) -> str:
    suffix = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{suffix}"


def several(words: Sequence[str], joiner: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joiner} {words[-1]}"


def factors(number: int) -> str:
    """``5 x 17``: the prime factors of a count that has more than one, else ""."""
    rest, found, by = number, [], 2
    while by * by <= rest:
        while rest % by == 0:
            found.append(by)
            rest //= by
        by += 1
    if rest > 1:
        found.append(rest)
    return " x ".join(map(str, found)) if len(found) > 1 else ""
