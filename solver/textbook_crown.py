"""The second opinion's crown: start, first rate, part round, slower second rate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .piece import Crown
from .textbook_book import MOST_COUNT, MOST_ROUNDS, Book, Worked
from .units import micrometres

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr


class CrownBook(Book):
    """A model with a crown."""

    part_limit: tuple[bool, IntVar]

    def crown(self, crown: Crown) -> IntVar:
        """Start, first rate (with double rounds), then a part round or a slower second rate."""
        model = self.model
        most = MOST_COUNT if self.piece.around_cm is None else self._most_count()
        start = self.whole(*crown.start_range, "start")
        sectors = self.whole(*crown.sector_range, "sectors")
        self.divides(sectors, start)
        each = self.whole(1, most, "stitches on a sector")
        first = self.whole(1, most, "count of the first rate")
        model.add_multiplication_equality(first, [sectors, each])
        at_start = self.whole(1, most, "stitches on a sector at the start")
        model.add_multiplication_equality(start, [sectors, at_start])
        rounds, doubles = self._first_rate(crown, at_start, each)
        part, more, further = self._slower(crown, sectors, first)
        count = self.whole(1, most, "stop count")
        model.add(count == first + part + more)
        plain = self.plain_crown = self.flag("one plain rate")
        model.add(doubles + part + further == 0).only_enforce_if(plain)
        model.add(doubles + part + further >= 1).only_enforce_if(~plain)
        self.part_limit = (crown.part_round, sectors)
        given = self.flag("part round")
        model.add(part >= 1).only_enforce_if(given)
        model.add(part == 0).only_enforce_if(~given)
        nothing = self.whole(0, 0, "ring")
        total = 1 + rounds + given + further
        self.worked.append(Worked(crown.name, total, nothing, count))
        self.number = total
        self.depth = total * micrometres(crown.gauge.height_cm) + micrometres(crown.hole_cm / 2)
        if len(self.piece.sections) == 1:
            allowed = self.near(self.piece.around_cm, crown.gauge.width_cm)
            if allowed is not None:
                self.among(count, allowed)
            self.judged = True
        return count

    def _most_count(self) -> int:
        narrowest = min(s.gauge.width_cm for s in self.piece.sections)
        around = (self.piece.around_cm or 0) + self.piece.limits.around_cm
        return 2 * round(around / narrowest) + self.piece.limits.nudge_stitches + 60

    def _first_rate(
        self, crown: Crown, at_start: IntVar, each: IntVar
    ) -> tuple[LinearExpr, LinearExpr]:
        """Rounds of the first rate and how many of them add two on every sector."""
        model = self.model
        if not crown.double_rounds:
            model.add(each >= at_start + 1)
            return each - at_start, self.total()
        most = MOST_ROUNDS if self.piece.around_cm is None else 90
        rounds = self.whole(1, most, "rounds of the first rate")
        doubles, now = [], at_start
        for number in range(most):
            here, double = self.flag(f"round {number}"), self.flag(f"double {number}")
            model.add(rounds >= number + 1).only_enforce_if(here)
            model.add(rounds <= number).only_enforce_if(~here)
            model.add_implication(double, here)
            half = self.whole(0, MOST_COUNT, f"half {number}")
            model.add(now == 2 * half).only_enforce_if(double)
            following = self.whole(1, MOST_COUNT, f"on a sector after {number}")
            model.add(following == now + here + double)
            doubles.append(double)
            now = following
        model.add(each == now)
        model.add(sum(doubles) <= crown.double_rounds)
        return rounds, self.total(*doubles)

    def _slower(
        self, crown: Crown, sectors: IntVar, first: IntVar
    ) -> tuple[IntVar, IntVar, IntVar]:
        """A part round's stitches, the second rate's stitches in all, its rounds."""
        model, widest = self.model, crown.sector_range[1]
        part = self.whole(0, widest if crown.part_round else 0, "part round's stitches")
        with_part = self.flag("a part round")
        model.add(part >= 2).only_enforce_if(with_part)
        model.add(part < sectors).only_enforce_if(with_part)
        model.add(part == 0).only_enforce_if(~with_part)
        by = self.whole(1, max(1, widest), "part divides by")
        model.add(by == part).only_enforce_if(with_part)
        model.add(by == 1).only_enforce_if(~with_part)
        self.divides(by, first)
        most = MOST_COUNT if crown.rates > 1 else 0
        more = self.whole(0, most, "second rate's stitches")
        rounds = self.whole(0, MOST_ROUNDS if crown.rates > 1 else 0, "second rate's rounds")
        rate = self.whole(1, max(1, widest), "second rate")
        slow = self.flag("a second rate")
        model.add(rate >= 4).only_enforce_if(slow)
        model.add(rate < sectors).only_enforce_if(slow)
        model.add(rounds >= 2).only_enforce_if(slow)
        model.add(rate == 1).only_enforce_if(~slow)
        model.add(rounds == 0).only_enforce_if(~slow)
        model.add_multiplication_equality(more, [rate, rounds])
        self.divides(rate, first)
        model.add_bool_or([~slow, ~with_part])
        return part, more, rounds
