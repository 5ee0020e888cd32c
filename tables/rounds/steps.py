"""Steps of a round as plain frozen data, in the trade's words.

Stitches are named by their US abbreviations whatever a pattern calls them. A *place* is whatever
the next round can be worked into: the top of a stitch or one chain.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Loop = Literal["both", "front", "back"]
Post = Literal["none", "front", "back"]
Target = Literal["next", "same", "space", "ring", "middle"]
"""Where a step is worked: the next place; the same place as the step before; the next chain
space (whatever stands before it is passed over); the ring or first chain a piece starts from;
the middle place of the next figure (a group that the pattern defined)."""


@dataclass(frozen=True, slots=True)
class Stitch:
    """A stitch by its US abbreviation (sc, hdc, dc, tr, dtr, "sl st"), which loops it takes, and
    whether it goes about the post of the stitch below instead of into its top."""

    name: str
    loop: Loop = "both"
    post: Post = "none"


@dataclass(frozen=True, slots=True)
class Bunch:
    """Several stitches of one place drawn together at the top, so that one place is left:
    ``kind`` is "puff", "bobble", "popcorn" or "cluster"."""

    kind: str
    stitch: Stitch
    legs: int


@dataclass(frozen=True, slots=True)
class Chain:
    """``n`` chains, each a place of the next round; together they are one chain space."""

    n: int


@dataclass(frozen=True, slots=True)
class Picot:
    """A ring of ``n`` chains closed into its own foot: nothing for the next round."""

    n: int = 3


@dataclass(frozen=True, slots=True)
class Several:
    """``n`` of one stitch, as part of a group."""

    stitch: Stitch | Bunch
    n: int = 1


Part = Several | Chain | Picot


@dataclass(frozen=True, slots=True)
class Work:
    """One into each of the next ``n`` places; None = into every place that is left."""

    stitch: Stitch | Bunch
    n: int | None = 1
    target: Target = "next"


@dataclass(frozen=True, slots=True)
class Into:
    """All ``parts`` into one place, ``times`` times in a row (None = into every place left).

    ``name`` is what the pattern calls the group ("shell", "V", a figure of its own); an increase
    is two of one stitch and has none.
    """

    parts: tuple[Part, ...]
    times: int | None = 1
    target: Target = "next"
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Together:
    """``legs`` places worked as one, ``times`` times in a row (None = to the end)."""

    stitch: Stitch
    legs: int = 2
    times: int | None = 1


@dataclass(frozen=True, slots=True)
class Skip:
    """Passes over ``n`` places (chains are places)."""

    n: int = 1


@dataclass(frozen=True, slots=True)
class EveryNth:
    """``parts`` into every ``nth`` place to the end; the places between are worked plain in
    ``plain``, or passed over where it is None."""

    parts: tuple[Part, ...]
    nth: int
    plain: Stitch | None = None


@dataclass(frozen=True, slots=True)
class Spread:
    """One into every place that is left, with ``changes`` increases (two into one place), or as
    many decreases (two places worked as one) where it is below 0, spread evenly over them."""

    changes: int
    stitch: Stitch


@dataclass(frozen=True, slots=True)
class Repeat:
    """``steps`` over and over.

    ``times`` None: to the end of the round, or until ``left`` places are left. ``times`` k: k
    times in all, or, where ``more`` is true, k times more after the once that is written; None
    for ``more`` says the pattern leaves open which it means.
    """

    steps: tuple[Step, ...]
    times: int | None = None
    left: int = 0
    more: bool | None = False


@dataclass(frozen=True, slots=True)
class StartChain:
    """The chains that open a round. ``stands_for`` is the stitch they count as; None = they do
    not count. ``open`` says that the pattern leaves open whether they do."""

    n: int
    stands_for: Stitch | None = None
    open: bool = False


@dataclass(frozen=True, slots=True)
class Join:
    """A slip stitch into the start of the round: neither uses nor leaves a place."""


@dataclass(frozen=True, slots=True)
class Turn:
    """Turn the work: the next round shows the other face."""


@dataclass(frozen=True, slots=True)
class Leave:
    """The places that are left stay unworked, ``n`` of them where that is said; ``at_most`` where
    it may be fewer, as where a last stitch is left out: the first may stand in its place."""

    n: int | None = None
    at_most: bool = False

    def fits(self, left: int) -> bool:
        """Whether so many left over are what is said."""
        return self.n is None or left == self.n or (self.at_most and left < self.n)


Step = (
    Work
    | Into
    | Together
    | Chain
    | Picot
    | Skip
    | EveryNth
    | Spread
    | Repeat
    | StartChain
    | Join
    | Turn
    | Leave
)


def increase(stitch: Stitch, times: int | None = 1) -> Into:
    """Two of a stitch into one place."""
    return Into((Several(stitch, 2),), times)
