"""The rounds read so far, and the next instruction read with what they say."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache

from .lines_counts import split_counts
from .pattern import Printed, RoundText, Unread
from .reader_again import even_in_words
from .reader_chains import ChainRules, Saying, first_stitch
from .reader_steps import Read, Settings, read_instruction
from .steps import Into, Repeat, Step, Stitch, Work
from .vocabulary import stitch_words


@dataclass
class Rounds:
    """The rounds read so far, and what they say in passing; ``at`` is the number of the
    last (``reached``: of each size); ``doubtful`` holds the instructions that
    could be meant two ways, by round."""

    sizes: tuple[str, ...]
    settings: Settings
    rounds: list[RoundText] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    sayings: list[Saying] = field(default_factory=list)
    rings: tuple[int, ...] = ()
    doubtful: dict[int, tuple[str, Settings]] = field(default_factory=dict)
    chains: ChainRules | None = None
    at: int = 0
    reached: dict[str, int] = field(default_factory=dict)

    def starts(self, said: tuple[int, ...]) -> tuple[int, ...]:
        """The joined chain the piece starts on, one a size where they differ: chains closed
        before a first round that is not worked into their ring. ``said``: before any round."""
        first = next((r for r in self.rounds if r.steps), None)
        if first is not None and first.steps and in_ring(first.steps[0]):
            return ()
        return said or self.rings


def in_ring(steps: tuple[Step, ...]) -> bool:
    """Whether anything is worked into a ring."""
    return any(
        (isinstance(s, Work | Into) and s.target == "ring")
        or (isinstance(s, Repeat) and in_ring(s.steps))
        for s in steps
    )


def _settings(out: Rounds) -> Settings:
    assert out.chains is not None
    return replace(out.settings, chains=out.chains, first=not out.rounds)


def append(out: Rounds, done: RoundText, read: Read | None) -> None:
    """Go on with a round that was read."""
    note(read, out)
    out.rounds.append(done)
    if done.until and done.last is None:
        return  # nobody knows how many rounds that is: the numbers go on as they are
    reach(out, done)
    out.at = done.last if done.last is not None else out.at + 1


def reach(out: Rounds, done: RoundText) -> None:
    """Each size that a round is for has come as far as its last number."""
    for at, name in enumerate(done.sizes or out.sizes):
        last = done.ranges[at][1] if done.ranges else done.last
        out.reached[name] = last if last is not None else out.reached.get(name, 0) + 1


def note(read: Read | None, out: Rounds) -> None:
    """What an instruction said in passing holds from here on."""
    if read is None:
        return
    if read.doubtful:
        out.doubtful[len(out.rounds)] = (read.text, read.settings)
    assert out.chains is not None
    for said in read.sayings:
        out.chains = out.chains.with_saying(said)
        out.sayings.append(said)


_EVEN_WORD = re.compile(r"even|straight|without|work|cont", re.IGNORECASE)


def one(text: str, out: Rounds) -> tuple[tuple[Step, ...] | None, tuple[Printed, ...], Read | None]:
    """One size's instruction: its steps, its printed counts."""
    rest, printed = split_counts(text, out.settings.lexicon)
    if _EVEN_WORD.search(rest):
        rest = even_in_words(rest, _last_stitch(out), out.settings.lexicon.terms)
    read = _cached(rest.rstrip(), _settings(out))
    return read.steps, printed, read


@lru_cache(maxsize=4096)
def _cached(text: str, settings: Settings) -> Read:
    return read_instruction(text, settings)


def _last_stitch(out: Rounds) -> str:
    for round_ in reversed(out.rounds):
        for steps in round_.steps or ():
            found = first_stitch(steps)
            if found is not None:
                names = stitch_words(out.settings.lexicon.terms)
                return next(w for w, s in names.items() if s == Stitch(found.name))
    return next(w for w, s in stitch_words(out.settings.lexicon.terms).items()
                if s == out.settings.usual)  # fmt: skip
