"""Where on the round below a round's work stands: the next place, the next chain space, the middle
of the next figure; and the places made so far.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from .places import MOST_PLACES, Below, CountError, Place, RanOutError
from .steps import Target, Work


class Walker:
    """A way along the places of ``below``. ``past``: after a figure's middle the next stitch goes
    past the rest of the figure."""

    def __init__(self, below: Below, *, past: bool) -> None:
        self.below, self.past = below.places, past
        self.rest = 0  # where the figure ends whose middle was worked into last
        self.at = 0  # next place of the round below
        self.needed = 0  # places asked for past the end
        self.made: list[Place] = []
        self.implied = 0
        self.stop_at_end = False
        self.end = len(self.below)  # where a repeat that leaves some unworked has to stop
        self.moved = self.in_space = False  # the round opens further on, in a chain space
        # of a figure that it opens inside of: where that ends, and what of it comes last
        self.first_ends = self.passed = 0

    @property
    def left(self) -> int:
        """Places not yet used."""
        return self.end - self.at

    def take(self, n: int, rest: str | None = None) -> None:
        """Use the next n places; past the end they are counted as missing. ``rest`` is what a
        part of them could still be worked in."""
        if self.at < self.rest:
            self.implied += self.rest - self.at
            self.at = self.rest
        if self.stop_at_end and n > self.left:
            raise RanOutError(rest)
        used = min(n, self.left)
        self.at += used
        self.needed += n - used
        if self.needed > MOST_PLACES:
            raise CountError(f"a round that needs more than {MOST_PLACES:,} places")

    def put(self, place: Place, n: int = 1) -> None:
        """Make so many places alike."""
        if len(self.made) + n > MOST_PLACES:
            raise CountError(f"a round of more than {MOST_PLACES:,} places")
        self.made.extend([place] * n)

    def times(self, n: int | None, target: Target) -> int:
        """How often: as said, or once into every place, space or figure that is left."""
        if n is not None:
            return n
        if target == "space":
            return sum(place.opens for place in self.below[self.at : self.end])
        if target == "middle":
            return sum(1 for _ in self.middles())
        return self.left

    def reach(self, target: Target) -> None:
        """Go to where the next step is worked and use it."""
        match target:
            case "next":
                self.take(1)
            case "space":
                self.seek_space()
            case "middle":
                self.seek_middle()
            case "same" if self.moved and self.at == 0:
                self.reach("space" if self.in_space else "next")  # where the slips led
                self.rest = self.first_ends
            case "same" | "ring":
                pass

    def seek_space(self) -> None:
        """The next chain space: whatever stands before it is passed over, all of it is used."""
        at = self.at
        while at < self.end and not self.below[at].opens:
            at += 1
        if at == self.end:
            self.find_none()
            return
        self.implied += at - self.at
        self.at = at + 1
        while self.at < self.end and self._continues_space():
            self.at += 1

    def _continues_space(self) -> bool:
        place = self.below[self.at]
        return place.name == "ch" and not place.opens

    def seek_middle(self) -> None:
        """The middle place of the next figure; what stands before it in the figure is passed
        over as well."""
        found = next(self.middles(), None)
        if found is None:
            self.find_none()
            return
        middle, end = found
        self.implied += middle - self.at
        self.at = middle + 1
        self.rest = end if self.past else 0

    def middles(self) -> Iterator[tuple[int, int]]:
        """The middle place of every figure that is still to come, and where the figure ends."""
        at = first = self.at
        while at < self.end:
            group, start, end = self.below[at].group, at, at
            while end < self.end and self.below[end].group == group:
                end += 1
            while group and start > 0 and self.below[start - 1].group == group:
                start -= 1
            middle = start + (end - start) // 2
            if group and middle >= first:
                yield middle, end
            at = end

    def find_none(self) -> None:
        """No space or figure is left to work into."""
        if self.stop_at_end:
            raise RanOutError(None, seeking=True)
        self.take(self.left + 1)

    def move(self, slip: Work) -> None:
        """Slip on before the round begins: it starts there, and what was passed comes last."""
        if slip.target == "space":
            by = next((at for at, place in enumerate(self.below) if place.opens), 0)
            self.in_space = True
        else:
            by = max(0, min(slip.n or 0, len(self.below) - 1))
            self.in_space = bool(self.below) and self.below[by].name == "ch"
            while self.in_space and by > 0 and not self.below[by].opens:
                by -= 1  # inside a space: the round starts in all of it
        self.moved = True
        below = self.below
        cut = below[by].group if by and below[by].group == below[by - 1].group else 0
        places = tuple(
            replace(place, group=0) if cut and place.group == cut else place for place in below
        )  # half a figure is none
        self.below = places[by:] + places[:by]
        if cut and self.past:
            of_first = [place.group == cut for place in below]
            self.first_ends = of_first[by:].index(False) if False in of_first[by:] else 0
            self.passed = of_first[:by].count(True)
            self.end -= self.passed
