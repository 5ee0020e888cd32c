"""The second opinion's body: nudges, even rounds and bands down to where the brim turns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .piece import Band, Even, Gauge
from .textbook_book import MOST_COUNT, MOST_ROUNDS, Worked
from .textbook_crown import CrownBook
from .units import micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar

MILLION = 1_000_000


class BodyBook(CrownBook):
    """A model with a body."""

    def body(
        self, sections: list[Even | Band], now: IntVar, gauge: Gauge | None, has_end: bool
    ) -> IntVar:
        """Even sections and bands; in each stretch up to a band, an own circumference or the
        end at most one nudge."""
        stretch: list[IntVar] = []
        for index, section in enumerate(sections):
            if gauge is not None:
                now, used = self._nudge(now, gauge, after_crown=index == 0)
                stretch.append(used)
            if isinstance(section, Even):
                self._even(section, now)
            else:
                now = self._band(section, now)
            gauge = section.gauge
            if isinstance(section, Band) or section.around_cm is not None:
                self.model.add_at_most_one(stretch)
                stretch = []
        if has_end and gauge is not None:
            now, used = self._nudge(now, gauge, after_crown=not sections)
            stretch.append(used)
            self._bare(now, gauge, used)
        elif has_end and not self.judged:
            self._bare(now, self.piece.sections[0].gauge, None)
        self.model.add_at_most_one(stretch)
        return now

    def _bare(self, now: IntVar, gauge: Gauge, used: IntVar | None) -> None:
        """What nothing of the body follows is near the wish: a nudge, or a start, a crown."""
        allowed = self.near(self.piece.around_cm, gauge.width_cm)
        if allowed is not None:
            self.among(now, allowed, (used,) if used is not None and self.judged else ())
        self.judged = True

    def _nudge(self, now: IntVar, gauge: Gauge, *, after_crown: bool) -> tuple[IntVar, IntVar]:
        """A round of its own, or none: the count after it, and whether it is there."""
        limits, model = self.piece.limits, self.model
        used, after = self.flag("nudge"), self.whole(1, MOST_COUNT, "after a nudge")
        change = self.change_of(now, used, limits.nudge_stitches)
        model.add(after == now + change)
        if after_crown and self.plain_crown is not None and self.part_limit[0]:
            self._no_part_round(now, change)
        self.worked.append(Worked("nudge", used, now, after))
        self.number = self.number + used
        self.nudged.append((used, self.number))
        self.depth = self.depth + used * micrometres(gauge.height_cm)
        return after, used

    def change_of(self, now: IntVar, used: IntVar, most: int) -> IntVar:
        """What a nudge changes: never nothing, at most a share of the count."""
        model, change = self.model, self.whole(-most, most, "change")
        size = self.whole(0, most, "size of the change")
        model.add_abs_equality(size, change)
        model.add(size >= 1).only_enforce_if(used)
        model.add(size == 0).only_enforce_if(~used)
        share = round(self.piece.limits.nudge_share * MILLION)
        model.add(MILLION * size <= share * now + 1)
        return change

    def _no_part_round(self, now: IntVar, change: IntVar) -> None:
        """What a part round could add evenly is that, not a nudge."""
        plain, sectors = self.plain_crown, self.part_limit[1]
        assert plain is not None
        for stitches in range(2, self.piece.limits.nudge_stitches + 1):
            this, fewer = self.flag("this nudge"), self.flag("fewer than the sectors")
            self.model.add(change == stitches).only_enforce_if(this)
            self.model.add(change != stitches).only_enforce_if(~this)
            self.model.add(sectors > stitches).only_enforce_if(fewer)
            self.model.add(sectors <= stitches).only_enforce_if(~fewer)
            rest, uneven = self.whole(0, stitches - 1, "rest"), self.flag("uneven")
            self.model.add_modulo_equality(rest, now, stitches)
            self.model.add(rest >= 1).only_enforce_if(uneven)
            self.model.add_bool_or([~this, ~fewer, ~plain, uneven])

    def _even(self, even: Even, now: IntVar) -> None:
        low, high = even.rounds
        rounds = self.whole(low, MOST_ROUNDS if high is None else high, even.name)
        wish = even.around_cm if even.around_cm is not None else self.piece.around_cm
        allowed = self.near(wish, even.gauge.width_cm)
        if allowed is not None:
            self.among(now, allowed)
        self.judged = True
        self.worked.append(Worked(even.name, rounds, now, now))
        self.number = self.number + rounds
        self.depth = self.depth + rounds * micrometres(even.gauge.height_cm)

    def _band(self, band: Band, now: IntVar) -> IntVar:
        """One of the allowed gives; whole repeats, whole figures; near the wish at both ends."""
        model, after = self.model, self.whole(1, MOST_COUNT, f"after {band.name}")
        repeats = self.whole(1, MOST_COUNT, f"repeats of {band.name}")
        gives = range(band.give_range[0], band.give_range[1] + 1)
        chosen = {give: self.flag(f"give {give}") for give in gives}
        model.add_exactly_one(chosen.values())
        for give, this in chosen.items():
            counts = [
                c + g * give for c, g in zip(band.figure.counts, band.figure.give, strict=True)
            ]
            model.add(now == counts[0] * repeats + band.remainder).only_enforce_if(this)
            model.add(after == counts[-1] * repeats + band.remainder).only_enforce_if(this)
            if counts[0] < 1 or not self._wide_enough(band, counts[0]):
                model.add(this == 0)
                continue
            self.among(repeats, self._repeats(band, counts, give), (this,))
        if band.even_repeats:
            model.add_modulo_equality(0, repeats, 2)
        figures = self.whole(0, MOST_ROUNDS, f"figures of {band.name}")
        rounds = self.whole(*band.rounds, f"rounds of {band.name}")
        whole = len(band.figure.counts) - 1
        model.add(rounds == whole * figures)
        high = band.measured_height_cm
        if high is None:
            self.depth = self.depth + rounds * micrometres(band.gauge.height_cm)
        else:
            self.depth = self.depth + figures * micrometres(high)
        self.judged = True
        self.worked.append(Worked(band.name, rounds, now, after))
        self.number = self.number + rounds
        return after

    def _wide_enough(self, band: Band, repeat: int) -> bool:
        wish = band.repeat_wish_cm
        if wish is None:
            return True
        width = micrometres(repeat * (band.wish_width_cm or band.gauge.width_cm))
        limit = micrometres(wish * self.piece.limits.repeat_share)
        return abs(width - micrometres(wish)) <= limit

    def _repeats(self, band: Band, counts: list[int], give: int) -> list[int]:
        """Numbers of repeats near the wish where the band begins and where it ends."""
        wish = band.around_cm if band.around_cm is not None else self.piece.around_cm
        if wish is None:
            return list(range(1, MOST_COUNT))
        width, limit = band.gauge.width_cm, micrometres(self.piece.limits.around_cm)

        def miss(repeats: int, count: int) -> int:
            if band.measured_repeat_cm is None:
                around = count * width
            else:
                own = band.measured_repeat_cm + (give - band.measured_give) * width
                around = repeats * own + band.remainder * width
            return abs(micrometres(around) - micrometres(wish))

        return [
            r
            for r in range(1, MOST_COUNT)
            if miss(r, counts[0] * r + band.remainder) <= limit
            and miss(r, counts[-1] * r + band.remainder) <= limit
        ]
