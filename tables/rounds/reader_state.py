"""What is known while an instruction is read: the settings, what was read so far, and the words
that later ones lean on.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from .reader_chains import ChainRules, Saying
from .reader_items import BracketItem, Item, SpotItem, WorkItem
from .reader_lexer import Decrease, Increase, Lexicon
from .steps import Bunch, Step, Stitch

Pairs = Literal["auto", "increase", "plain"]


@dataclass(frozen=True)
class Settings:
    """How an instruction is read: the words, what opening chains are, and what was settled for
    the pattern as a whole. ``usual`` is the stitch a bare increase is of; ``first`` the round
    that begins the piece; ``inner`` a part of a round, whose first chains open nothing;
    ``increases``: the pattern has a word for an increase, so that a bare "2 sc" beside others is
    none."""

    lexicon: Lexicon
    chains: ChainRules = field(default_factory=ChainRules)
    usual: Stitch = field(default_factory=lambda: Stitch("sc"))
    pairs: Pairs = "auto"
    increases: bool = False
    first: bool = False
    inner: bool = False


@dataclass
class Read:
    """One instruction read. ``sayings``: what it says in passing about its chain; ``doubtful``:
    it holds a pair that could be meant either way; ``remaining``: a group said to be what is
    left; ``ring``: chains closed into a ring before the round."""

    steps: tuple[Step, ...]
    text: str
    settings: Settings
    sayings: list[Saying] = field(default_factory=list)
    doubtful: bool = False
    remaining: int | None = None
    ring: int | None = None


@dataclass(frozen=True, slots=True)
class Bare:
    """``n`` of a stitch with no place: ``said`` whether a number stood there at all."""

    stitch: Stitch | Bunch
    n: int
    said: bool = True


Node = Step | Bare


class State:
    """One instruction's reading. ``ring``: it is worked into a ring; ``last`` the stitch worked
    last; ``hook`` the chain counted from the hook; ``begun``: something stands in the round that
    "other" can be other than; ``foot_skipped``: the opening chain stands on the first place."""

    def __init__(self, text: str, settings: Settings) -> None:
        self.settings = settings
        self.out = Read((), text, settings)
        self.ring = False
        self.stitches: list[Stitch] = []
        self.columns: list[int] = []
        self.last: Stitch | Bunch | None = None
        self.hook = 0
        self.begun = False
        self.foot_skipped = False

    def note_stitches(self, items: Sequence[Item]) -> None:
        """Remember which stitches the instruction works, and where; and whether into a ring."""
        for item in items:
            spot = item.spot if isinstance(item, WorkItem | SpotItem) else None
            self.ring |= spot is not None and spot.kind == "ring"
            if isinstance(item, BracketItem):
                self.note_stitches(item.items)
            elif isinstance(item, WorkItem):
                stitch = _worked_in(item.thing)
                if stitch is not None:
                    self.stitches.append(Stitch(stitch.name))
                    self.columns.append(item.at)

    def usual(self, at: int) -> Stitch:
        """The stitch an increase or decrease without one is of: the nearest before it, else the
        nearest after, slip stitches aside."""
        at_or_after = bisect_left(self.columns, at)
        if at_or_after > 0:
            return self.stitches[at_or_after - 1]
        return self.stitches[0] if self.stitches else Stitch(self.settings.usual.name)

    def rules(self) -> ChainRules:
        """What holds for opening chains, with what this instruction says in passing."""
        rules = self.settings.chains
        for said in self.out.sayings:
            rules = rules.with_saying(said)
        return rules

    def chain_may_count(self, n: int) -> bool:
        """Whether an opening chain of n counts, or is left open."""
        about = self.rules().about(n)
        return about is None or about.counts


def _worked_in(thing: object) -> Stitch | None:
    """The stitch a word tells of, slip stitches aside."""
    if isinstance(thing, Increase | Decrease):
        return thing.stitch
    return thing if isinstance(thing, Stitch) and thing.name != "sl st" else None
