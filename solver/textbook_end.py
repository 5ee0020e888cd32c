"""The second opinion's end: brim, perhaps a nudge, edging."""

from __future__ import annotations

from math import ceil, floor, pi, radians, sin
from typing import TYPE_CHECKING

from .piece import Brim, Edging
from .textbook_body import BodyBook
from .textbook_book import MOST_COUNT, Worked
from .units import micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr


class EndBook(BodyBook):
    """A model with an end."""

    depth_of_hat: LinearExpr

    def end(self, sections: list[Brim | Edging], now: IntVar) -> None:
        """Brim and edging on a count."""
        brim = next((s for s in sections if isinstance(s, Brim)), None)
        edging = next((s for s in sections if isinstance(s, Edging)), None)
        self.depth_of_hat = self.depth
        if brim is not None:
            now, rounds = self._brim(brim, now)
            if edging is not None:
                used = self.flag("nudge before the edging")
                change = self.change_of(now, used, self.piece.limits.nudge_stitches)
                after = self.whole(1, 2 * MOST_COUNT, "before the edging")
                self.model.add(after == now + change)
                self.model.add(rounds + 1 >= self.piece.limits.nudge_apart).only_enforce_if(used)
                self.worked.append(Worked("nudge", used, now, after))
                now = after
        if edging is not None:
            self._edging(edging, now)
            if brim is None:
                height = micrometres(edging.gauge.height_cm)
                self.depth_of_hat = self.depth + edging.figure.rounds * height

    def _brim(self, brim: Brim, now: IntVar) -> tuple[IntVar, IntVar]:
        """Sectors in a rhythm so many times, then plain rounds; or plain all the way."""
        model = self.model
        height, wish = micrometres(brim.gauge.height_cm), micrometres(brim.width_cm)
        limit = self.piece.limits.brim_cm
        um = micrometres(limit if limit is not None else brim.gauge.height_cm)
        longest = (wish + um) // height
        allowed = [r for r in range(1, longest + 1) if abs(r * height - wish) <= um]
        rounds = self.whole(1, max(longest, 1), "brim rounds")
        self.among(rounds, allowed)
        model.add(rounds >= brim.firm_rounds)
        shaped, sectors = self.flag("a shaped brim"), self.whole(1, brim.sector_range[1], "by")
        model.add(sectors >= brim.sector_range[0]).only_enforce_if(shaped)
        model.add(sectors == 1).only_enforce_if(~shaped)
        self.divides(sectors, now)
        times = self.whole(0, max(longest, 1), "increase rounds of the brim")
        model.add(times >= 1).only_enforce_if(shaped)
        model.add(times == 0).only_enforce_if(~shaped)
        self._rhythm(brim, times, rounds, shaped, longest)
        grown, after = self.whole(0, MOST_COUNT, "grown"), self.whole(1, 2 * MOST_COUNT, "edge")
        model.add_multiplication_equality(grown, [sectors, times])
        model.add(after == now + grown)
        self._flare(brim, now, grown, rounds, allowed)
        self.worked.append(Worked(brim.name, rounds, now, after))
        return after, rounds

    def _rhythm(
        self, brim: Brim, times: IntVar, rounds: IntVar, shaped: IntVar, longest: int
    ) -> None:
        """The last increase round stands where the rhythm puts it, the firm rounds after it."""
        chosen = []
        for rhythm in brim.rhythms:
            this = self.flag(f"{rhythm.increases} of {rhythm.block}")
            chosen.append(this)
            for number in range(1, longest + 1):
                blocks, within = divmod(number - 1, rhythm.increases)
                last = blocks * rhythm.block + within + 1
                here = self.flag("so many times")
                self.model.add(times == number).only_enforce_if(here)
                self.model.add(times != number).only_enforce_if(~here)
                fits = self.model.add(rounds >= last + brim.firm_rounds)
                fits.only_enforce_if([this, here])
        self.model.add(sum(chosen) == 1).only_enforce_if(shaped)
        self.model.add(sum(chosen) == 0).only_enforce_if(~shaped)

    def _flare(
        self, brim: Brim, now: IntVar, grown: IntVar, rounds: IntVar, allowed: list[int]
    ) -> None:
        """Degrees within tolerance, or the edge's circumference where that is what was asked."""
        width, around = brim.gauge.width_cm, self.piece.around_cm
        if brim.fullness is None and (brim.flare_deg or 0) <= 60:
            self._degrees(brim, grown, rounds, allowed)
            return
        low: int | IntVar
        high: int | IntVar
        if around is not None:
            low, high = self._edges(brim, around)
        else:  # the wish grows with the count the brim begins on
            spans = [self._edges(brim, count * width) for count in range(MOST_COUNT + 1)]
            lows, highs = [low for low, _ in spans], [high for _, high in spans]
            low = self.whole(0, max(lows), "least edge")
            high = self.whole(-1, max(highs), "most edge")
            self.model.add_element(now, lows, low)
            self.model.add_element(now, highs, high)
        self.model.add(now + grown >= low)
        self.model.add(now + grown <= high)

    def _edges(self, brim: Brim, start_cm: float) -> tuple[int, int]:
        """The least and the most stitches whose circumference lies within tolerance of the edge
        that a brim on a circumference wishes for; the most is below the least where none does."""
        slant, width = 2 * pi * brim.width_cm, brim.gauge.width_cm
        if brim.fullness is not None:
            wish = micrometres(brim.fullness * (start_cm + slant))
        else:
            wish = micrometres(start_cm + slant * sin(radians(brim.flare_deg or 0)))
        limit = micrometres(self.piece.limits.edge_cm)
        low = max(0, floor((wish - limit) / (10_000 * width)) - 1)
        while micrometres(low * width) < wish - limit:
            low += 1
        high = floor((wish + limit) / (10_000 * width)) + 1
        while micrometres(high * width) > wish + limit:
            high -= 1
        return low, high

    def _degrees(self, brim: Brim, grown: IntVar, rounds: IntVar, allowed: list[int]) -> None:
        off, wish = self.piece.limits.flare_deg + 1e-9, brim.flare_deg or 0.0
        low, high = wish - off, wish + off
        for number in allowed:
            here = self.flag("so many brim rounds")
            self.model.add(rounds == number).only_enforce_if(here)
            self.model.add(rounds != number).only_enforce_if(~here)
            # one stitch more a round widens the radius by w / 2 pi; over the slant that is a sine
            radius = brim.gauge.width_cm / (2 * pi * number * brim.gauge.height_cm)
            most = MOST_COUNT if high >= 90 else floor(sin(radians(high)) / radius)
            least = 0 if low <= 0 else ceil(sin(radians(low)) / radius)
            fits = self.model.add_linear_constraint(grown, least, most)
            fits.only_enforce_if(here)

    def _edging(self, edging: Edging, now: IntVar) -> None:
        counts = edging.figure.counts
        repeats = self.whole(1, 2 * MOST_COUNT, "repeats of the edging")
        after = self.whole(1, 4 * MOST_COUNT, "after the edging")
        if edging.required:
            self.model.add(now == counts[0] * repeats + edging.remainder)
            self.model.add(after == now + (counts[-1] - counts[0]) * repeats)
        else:
            self.model.add(after == now)
        self.worked.append(Worked(edging.name, self.total(len(counts) - 1), now, after))
