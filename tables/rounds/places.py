"""Places of a round, and how a round came out: what the counter is given and what it hands back."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache

MOST_PLACES = 100_000


@dataclass(frozen=True, slots=True)
class Place:
    """A place of a finished round. ``name`` is the stitch's US abbreviation, "ch" for a chain;
    ``opens`` marks the first chain of a space; ``group`` numbers the figure it belongs to."""

    name: str
    opens: bool = False
    group: int = 0


@dataclass(frozen=True, slots=True)
class Below:
    """The round below: its places in order."""

    places: tuple[Place, ...]

    @property
    def count(self) -> int:
        """How many places there are."""
        return len(self.places)


@lru_cache(maxsize=256)
def plain_place(name: str) -> Place:
    """The place a stitch leaves that belongs to no figure."""
    return Place(name)


def plain_round(count: int, name: str = "st") -> Below:
    """A round of which only the count is known."""
    if count > MOST_PLACES:
        raise CountError(f"{count:,} stitches are more than {MOST_PLACES:,}")
    return Below((plain_place(name),) * count)


class CountError(ValueError):
    """A round that cannot be worked at all: endless, too deep, too large, or meaningless."""


class RanOutError(Exception):
    """The round below has no more places; ``rest`` is the stitch that what is left can take (a
    run that was too long), None where it is merely passed over (a skip, a way to a space);
    ``seeking``: it was on its way to a space or a figure, and there is none left."""

    def __init__(self, rest: str | None, *, seeking: bool = False) -> None:
        super().__init__()
        self.rest, self.seeking = rest, seeking


@dataclass(frozen=True, slots=True)
class Snapshot:
    """How far a round had come, for going back to."""

    at: int
    needed: int
    made: int
    implied: int
    rest: int
    groups: Counter[str]


@dataclass(frozen=True, slots=True)
class Worked:
    """How a round came out.

    ``uses`` is how many places of the round below its steps need, ``has`` how many there are;
    ``made`` are the places it leaves. ``over`` places were left unworked at the end (0 where it
    came out), ``short`` were missing. ``over_in_repeat`` is what a repeat to the end left over
    on its last try (before any reading was applied). ``implied`` are places passed over to reach
    a chain space or a figure's middle without the pattern saying so. ``groups`` counts the
    figures made, by name.
    """

    uses: int
    has: int
    made: Below
    over: int
    short: int
    over_in_repeat: int
    implied: int
    groups: Counter[str] = field(default_factory=Counter)

    @property
    def makes(self) -> int:
        """The places made, every chain one."""
        return self.made.count

    @property
    def even(self) -> bool:
        """Whether it came out: nothing over, nothing missing."""
        return self.over == 0 and self.short == 0

    def comes_to(self, count: int) -> bool:
        """Whether every place below was used, with no left-over in a repeat, and so many made."""
        return self.even and not self.over_in_repeat and self.makes == count

    def stitches(self) -> Counter[str]:
        """Places by the stitch's name, chains under "ch"."""
        return Counter(place.name for place in self.made.places)

    def spaces(self) -> int:
        """How many chain spaces were made."""
        return sum(place.opens for place in self.made.places)
