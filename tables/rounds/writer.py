"""Steps into one clean sentence, the way rounds are usually written, in US or UK terms.

``write_steps`` is plain: the same steps give the same words, whatever the pattern around them.
A repeat to the end is written with a star, a repeat of so many times in brackets, a group of one
place in round brackets. What a group is called ("shell") is not written: the group is spelt out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from evenround.tables.facts import table

from .pattern import Terms
from .steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Join,
    Leave,
    Part,
    Picot,
    Repeat,
    Several,
    Skip,
    Spread,
    StartChain,
    Step,
    Stitch,
    Target,
    Together,
    Turn,
    Work,
)

Unit = Literal["st", "ch", "place"]
"""What the places of the round below are called: stitches, the chains a piece starts on, or
both mixed."""

PLURALS: Mapping[Unit, str] = MappingProxyType({"st": "sts", "ch": "chs", "place": "places"})
POSTS = MappingProxyType({"none": "", "front": "FP", "back": "BP"})
LOOPS = MappingProxyType({"both": "", "front": "front loop of ", "back": "back loop of "})


@cache
def names(terms: Terms) -> Mapping[str, str]:
    """US abbreviation -> the one in ``terms`` (terms.csv)."""
    return MappingProxyType({r["us_abbr"]: r[f"{terms}_abbr"] for r in table("terms")})


def stitch_name(stitch: Stitch | Bunch, terms: Terms) -> str:
    """``hdc``, ``FPdc``, ``3-dc cluster``."""
    if isinstance(stitch, Bunch):
        return f"{stitch.legs}-{stitch_name(stitch.stitch, terms)} {stitch.kind}"
    backwards = "reverse " if stitch.name.startswith("reverse ") else ""
    plain = stitch.name.removeprefix(backwards)
    return backwards + POSTS[stitch.post] + names(terms).get(plain, plain)


def write_steps(
    steps: Sequence[Step],
    terms: Terms = "us",
    *,
    unit: Unit = "st",
    space: int | None = None,
    said: bool = False,
) -> str:
    """One sentence with a capital and a full stop; "" for no steps.

    ``unit`` is what the places of the round below are called. ``space`` is how many chains each
    chain space of the round below has, where they are all alike ("next ch-1 sp"). ``said``: the
    pattern says elsewhere that an opening chain does not count, so that the round need not.
    """
    words = _Writer(terms, unit, space, said).listed(steps)
    return f"{_capital(words)}." if words else ""


@dataclass(frozen=True, slots=True)
class _Writer:
    terms: Terms
    unit: Unit
    space: int | None
    said: bool

    def listed(self, steps: Sequence[Step]) -> str:
        """Steps with commas between; after a starred repeat that goes on, a comma as well."""
        return ", ".join(self.step(step) for step in steps)

    def step(self, step: Step) -> str:
        match step:
            case Work():
                return self.work(step)
            case Into():
                return self.into(step)
            case Together():
                return self.together(step)
            case Chain():
                return f"ch {step.n}"
            case Picot():
                return _picot(step)
            case Skip():
                return f"{names(self.terms)['sk']} {self.next(step.n)}"
            case EveryNth():
                return self.every_nth(step)
            case Spread():
                return self.spread(step)
            case Repeat():
                return self.repeat(step)
            case StartChain():
                return self.start_chain(step)
            case Join():
                return "join"
            case Turn():
                return "turn"
            case Leave():
                return "leave the rest unworked"

    # --- where ----------------------------------------------------------------------------

    def next(self, n: int) -> str:
        """``next st``, ``next 3 sts``."""
        return f"next {self.unit}" if n == 1 else f"next {n} {PLURALS[self.unit]}"

    def spaces(self, n: int | None) -> str:
        """``next ch-1 sp``, ``next 2 ch sps``, ``each ch sp around``."""
        chain = "ch" if self.space is None else f"ch-{self.space}"
        if n is None:
            return f"each {chain} sp around"
        return f"next {chain} sp" if n == 1 else f"next {n} {chain} sps"

    def place(self, n: int | None, target: Target, *, group: bool = False) -> str:
        """Where one step is worked, ``n`` times in a row; ``group`` where each place takes
        more than one stitch."""
        match target:
            case "next":
                if n is None:
                    return f"in each {self.unit} around"
                return f"in {'each of ' if group and n > 1 else ''}{self.next(n)}"
            case "space":
                each = "each of " if group and n is not None and n > 1 else ""
                return f"in {each}{self.spaces(n)}"
            case "same":
                return f"in same {self.unit}"
            case "ring":
                return "in ring"
            case "middle":
                return "in middle of next group"

    # --- steps ----------------------------------------------------------------------------

    def work(self, step: Work) -> str:
        name = stitch_name(step.stitch, self.terms)
        loop = LOOPS[step.stitch.loop] if isinstance(step.stitch, Stitch) else ""
        if step.target in ("same", "ring") and step.n not in (None, 1):
            name = f"{step.n} {name}"
        where = self.place(step.n, step.target)
        return f"{name} {where.replace('in ', f'in {loop}', 1)}"

    def into(self, step: Into) -> str:
        where = self.place(step.times, step.target, group=True)
        return f"{self.group(step.parts)} {where}"

    def group(self, parts: Sequence[Part]) -> str:
        """``2 hdc``, ``(2 dc, ch 1, 2 dc)``."""
        match parts:
            case (Several(stitch=Stitch(loop="both"), n=n),) if n > 1:
                return self.part(parts[0])
            case _:
                return f"({', '.join(self.part(part) for part in parts)})"

    def part(self, part: Part) -> str:
        match part:
            case Several():
                name = stitch_name(part.stitch, self.terms)
                loop = LOOPS[part.stitch.loop] if isinstance(part.stitch, Stitch) else ""
                counted = name if part.n == 1 else f"{part.n} {name}"
                return f"{counted} in {loop[:-4]}" if loop else counted
            case Chain():
                return f"ch {part.n}"
            case Picot():
                return _picot(part)

    def together(self, step: Together) -> str:
        name = f"{stitch_name(step.stitch, self.terms)}{step.legs}tog"
        if step.times is None:
            return f"{name} around"
        return name if step.times == 1 else f"{name} {step.times} times"

    def every_nth(self, step: EveryNth) -> str:
        words = f"{self.group(step.parts)} in every {_ordinal(step.nth)} {self.unit}"
        if step.plain is None:
            return words
        return f"{words}, {stitch_name(step.plain, self.terms)} in all others"

    def spread(self, step: Spread) -> str:
        name = (
            f"{stitch_name(step.stitch, self.terms)} in {LOOPS[step.stitch.loop]}each {self.unit}"
        )
        word = "inc" if step.changes > 0 else "dec"
        return f"{name} around, {word} {abs(step.changes)} {PLURALS[self.unit]} evenly"

    def start_chain(self, step: StartChain) -> str:
        if step.stands_for is None:
            # a single chain never counts; of more the reader wants to know
            plain = self.said or step.open or step.n == 1
            return f"ch {step.n}" if plain else f"ch {step.n} (does not count as a st)"
        return f"ch {step.n} (counts as {stitch_name(step.stands_for, self.terms)})"

    def repeat(self, step: Repeat) -> str:
        words = self.listed(step.steps)
        if step.times is None:
            to = "around" if not step.left else f"to last {self.last(step.left)}"
            return f"*{words}; rep from * {to}"
        if step.more is None:
            return f"*{words}; rep from * {_times(step.times)}"
        if step.more:
            return f"*{words}; rep from * {step.times} more {_time(step.times)}"
        return f"[{words}] {_times(step.times)}"

    def last(self, n: int) -> str:
        return self.unit if n == 1 else f"{n} {PLURALS[self.unit]}"


def _picot(picot: Picot) -> str:
    """A picot is of three chains unless it says otherwise."""
    return "picot" if picot.n == 3 else f"ch-{picot.n} picot"


def _capital(words: str) -> str:
    """A capital for the first letter, unless a number stands before it."""
    lead = len(words) - len(words.lstrip("*[("))
    return f"{words[:lead]}{words[lead : lead + 1].upper()}{words[lead + 1 :]}"


def _times(n: int) -> str:
    return f"{n} {_time(n)}"


def _time(n: int) -> str:
    return "time" if n == 1 else "times"


def _ordinal(n: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{'th' if n % 100 in (11, 12, 13) else ending}"
