"""What a pattern says of the chains that open its rounds: whether they count, and as what."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from .pattern import Terms
from .steps import (
    Chain,
    EveryNth,
    Into,
    Repeat,
    Several,
    Spread,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
)
from .vocabulary import NUMBERS, number, stitch_words, words_pattern

HIGHEST = 6
"""Chains an opening stitch and its space have at most."""


@dataclass(frozen=True, slots=True)
class Saying:
    """A chain of ``n`` (None: of any number) counts as ``stitch`` (None: as what the round is
    worked in), or does not count; ``rest`` chains beyond it are a space."""

    n: int | None
    counts: bool
    stitch: Stitch | None = None
    rest: int = 0


_ABOUT = re.compile(
    r"\b(?:ch(?:ain)?(?:s|es)?)\b[\s-]*(?P<n>\d{1,6}|"
    + "|".join(NUMBERS)
    + r")?|\bch(?P<n2>\d{1,6})\b|\b(?P<n3>\d{1,6})\s?-?chs?\b"
)
_NOT = re.compile(r"\b(?:not|never|no|without|neither)\b|n't\b")
_COUNTS = re.compile(r"\bcount|\bstands?\b|\bis\b|\bare\b|\bas\b|=|\bequals?\b|\ba\b|\breplaces?\b")
_OPENS = re.compile(
    r"\b(?:counts?|counted|stands?|opens?|opening|begin\w*|start\w*|turning|first|1st|initial|"
    r"round|rnd|row)\b"
)
_REST = re.compile(
    r"(?:,|\band\b|&|\+|\bplus\b)\s*(?:a\s+)?(?:ch(?:ain)?s?[\s-]*(\d+|one|two|three)\b|"
    r"(\d+|one|two|three)[\s-]*ch(?:ain)?s?\b)"
)


_ABBREVIATED = re.compile(
    r"(?:\b\w+[\s-])?\bt?-?ch(?:\(s\)|s|\(es\))?(?:[\s-]*\d+)?(?:[\s-]*(?:sp|lp)s?)?\s*(?:=|:|\s-+|\bis\b|\()"
    r"\s*(?:\w+[\s-]+)?chains?\b(?:\(s\)|[\s-]*(?:st\w*|sp\w*|loops?))?"
)
"""An entry of a list of abbreviations, "ch = chain", "beg ch: beginning chain"."""


def saying(text: str, n: int | None, terms: Terms) -> Saying:
    """What is said of a chain in passing ("counts as dc", "no st"), lower case."""
    if _NOT.search(text):
        return Saying(n, False)
    rest = _REST.search(text)
    return Saying(n, True, _stitch_in(text, terms), number(rest[1] or rest[2]) if rest else 0)


def general_saying(text: str, terms: Terms) -> Saying | None:
    """What a sentence apart says of opening chains, or None if it speaks of something else."""
    text = _ABBREVIATED.sub(" ", text)
    equal = _EQUAL.search(text)
    if equal is not None and _stitch_first(equal["as"], terms):
        chains = int(equal["n"] or equal["n2"])
        return saying(equal["as"], chains, terms) if 1 <= chains <= HIGHEST else None
    about = _ABOUT.search(text)
    numbered = about is not None and (about["n"] or about["n2"] or about["n3"])
    says = re.search(r"\bcount|\bstand|\bnot\b", text)
    if re.search(r"\babbrev", text) and not (numbered or says):
        return None
    if about is None or not _OPENS.search(text) or re.search(r"\btwist|\bjoin|\bclose", text):
        return None
    after = text[about.end() :]
    if not (_NOT.search(text) or _COUNTS.search(after)):
        return None
    n = about["n"] or about["n2"] or about["n3"]
    if n and number(n) > HIGHEST:
        return None
    return saying(after if _COUNTS.search(after) else text, number(n) if n else None, terms)


_EQUAL = re.compile(
    r"(?:\bch(?:ain)?s?[\s-]*(?P<n>\d)|(?<![\w-])(?P<n2>\d)[\s-]*ch(?:ain)?s?)\s*=\s*"
    r"(?:(?:1|an?|one|the|first)\s*)*(?P<as>[^.;]*)"
)
"""A chain set equal to a stitch: "3 ch = 1 tr"."""


def _stitch_first(text: str, terms: Terms) -> bool:
    names = words_pattern([w for w, s in stitch_words(terms).items() if s.name != "sl st"])
    return re.match(rf"(?:{names})(?:s|es)?(?![a-z0-9])(?!\s+in\b)", text) is not None


def _stitch_in(text: str, terms: Terms) -> Stitch | None:
    """The stitch a saying names, the last words "as", "is" or "a" leading to it."""
    names = words_pattern([w for w, s in stitch_words(terms).items() if s.name != "sl st"])
    found = re.search(rf"(?<![a-z])({names})(?:s|es)?(?![a-z])", text)
    return stitch_words(terms)[re.sub(r"\s+", " ", found[1])] if found else None


@dataclass(frozen=True, slots=True)
class ChainRules:
    """All that was said so far; the last saying about a number of chains holds."""

    sayings: tuple[Saying, ...] = ()

    def with_saying(self, said: Saying) -> ChainRules:
        """These rules and one more."""
        kept = tuple(s for s in self.sayings if s.n != said.n)
        return ChainRules((*kept, said))

    def about(self, n: int) -> Saying | None:
        """What holds for a chain of n: what was said of just that number, else of any. A single
        chain counts only where that is said of a single chain."""
        exact = next((s for s in self.sayings if s.n == n), None)
        anyway = next((s for s in self.sayings if s.n is None), None)
        if exact is not None:
            return exact
        if anyway is not None and (n > 1 or not anyway.counts):
            return anyway
        return None

    def opening(self, n: int, worked_in: Stitch | None) -> tuple[Step, ...]:
        """The steps a chain of n at the start of a round is."""
        said = self.about(n)
        if said is not None:
            return _as_said(n, said, worked_in)
        if n == 1:
            return (StartChain(1),)
        if n > HIGHEST:
            return (Chain(n),)  # an arch: no stitch is as high
        lower = max(
            (s.n for s in self.sayings if s.n is not None and s.counts and s.n < n), default=None
        )
        base = self.about(lower) if lower is not None else None
        if lower is not None and base is not None and base.stitch in (worked_in, None):
            return (StartChain(lower, base.stitch or worked_in), Chain(n - lower))
        return (StartChain(n, None, open=True),)


def _as_said(n: int, said: Saying, worked_in: Stitch | None) -> tuple[Step, ...]:
    if not said.counts:
        return (StartChain(n),)
    stitch = said.stitch or worked_in or Stitch("st")
    if 0 < said.rest < n:
        return (StartChain(n - said.rest, stitch), Chain(said.rest))
    return (StartChain(n, stitch),)


def settle_chain(steps: tuple[Step, ...], counts: bool) -> tuple[Step, ...]:
    """The steps with an opening chain that was left open read as counting or not.

    A chain that counts stands for the stitch the round is worked in, over the first place, and
    what is worked "in the same st" then stands at its foot. One that does not count leaves the
    first place free: "same" is then that place itself.
    """
    if not steps or not isinstance(steps[0], StartChain) or not steps[0].open:
        return steps
    if counts:
        stitch = first_stitch(steps) or Stitch("st")
        return (replace(steps[0], stands_for=stitch, open=False), *steps[1:])
    return foot_is_first((replace(steps[0], stands_for=None, open=False), *steps[1:]))


def foot_is_first(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Where nothing has been used yet, "the same st" is the first one."""
    for at, step in enumerate(steps):
        if isinstance(step, StartChain):
            if step.open or step.stands_for is not None:
                return steps
            continue
        if isinstance(step, Work | Into) and step.target == "same":
            return (*steps[:at], _in_first(step), *steps[at + 1 :])
        if isinstance(step, Work | Into | Together | Repeat):
            return steps
    return steps


def _in_first(step: Work | Into) -> Step:

    if isinstance(step, Work):
        if step.n in (1, None):
            return replace(step, n=1, target="next")
        return Into((Several(step.stitch, step.n or 1),), 1, "next")
    return replace(step, target="next")


def first_stitch(steps: tuple[Step, ...]) -> Stitch | None:
    """The first stitch worked."""
    for step in steps:
        found = _stitch_of(step)
        if found is not None:
            return found
    return None


def _stitch_of(step: Step) -> Stitch | None:

    match step:
        case Work(stitch=Stitch() as stitch) if stitch.name != "sl st":
            return Stitch(stitch.name)
        case Work(stitch=bunch) if not isinstance(bunch, Stitch):
            return Stitch(bunch.stitch.name)
        case Together(stitch=stitch) | Spread(stitch=stitch):
            return Stitch(stitch.name)
        case Into(parts=parts) | EveryNth(parts=parts):
            several = next((p for p in parts if isinstance(p, Several)), None)
            if several is None:
                return None
            inner = several.stitch
            return Stitch(inner.name if isinstance(inner, Stitch) else inner.stitch.name)
        case Repeat(steps=inner_steps):
            return first_stitch(inner_steps)
        case _:
            return None
