"""Patterns for the audit's tests: built from steps by hand, and sound hats to be spoilt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from hypothesis import strategies as st

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import (
    GaugeText,
    Measured,
    MeasureText,
    Pattern,
    Printed,
    RoundText,
    Where,
)
from evenround.tables.rounds.steps import Join, Repeat, Step, Stitch, Work, increase

SC = Stitch("sc")
HERE = Where(1, 1)


def round_text(
    number: int,
    steps: Sequence[Step],
    printed: int | None = None,
    *,
    what: str = "",
    last: int | None = None,
    section: str = "",
    **more: Any,
) -> RoundText:
    """One round, or those up to ``last``, with the count it prints."""
    counts = () if printed is None else ((Printed(printed, what),),)
    label = f"Rnd {number}" if last is None else f"Rnds {number}-{last}"
    text = RoundText(
        label,
        number,
        last or number,
        Where(number, 1),
        "",
        (tuple(steps),),
        printed=counts,
        section=section,
    )
    return replace(text, **more)


def pattern_of(rounds: Sequence[RoundText], **more: Any) -> Pattern:
    """A joined pattern in one size, in US terms."""
    pattern = Pattern("us", "sc appears", None, True, (), tuple(rounds), (), (), (), ())
    return replace(pattern, **more)


def ring(n: int, stitch: Stitch = SC) -> tuple[Step, ...]:
    """So many stitches into a ring."""
    return (Work(stitch, n, "ring"), Join())


def gaps(
    k: int, stitch: Stitch = SC, times: int | None = None, *, more: bool | None = False
) -> Repeat:
    """``[k i]``, to the end or so many times."""
    return Repeat((Work(stitch, k), increase(stitch)), times, more=more)


def of_count(count: int, *steps: Step, printed: int | None = None) -> Pattern:
    """A round on a round of ``count``."""
    return pattern_of([round_text(1, ring(count), count), round_text(2, steps, printed)])


def words(pattern: Pattern) -> str:
    """Notes and findings of the audit."""
    audit = audit_pattern(pattern)
    return "\n".join([*audit.notes, *(f.words for f in audit.findings)])


def gauge(
    stitches: float, rounds: float, over_cm: float, stitch: Stitch | None = None
) -> GaugeText:
    return GaugeText(stitches, rounds, over_cm, stitch, HERE)


def measure(what: Measured, *values_cm: float, after_round: int | None = None) -> MeasureText:
    return MeasureText(what, values_cm, after_round, HERE)


@dataclass(frozen=True)
class Hat:
    """A sound hat: a crown of ``sectors`` with gaps of 1, 2, 3 ..., sides. ``styles`` says how
    each increase round is written."""

    sectors: int
    styles: tuple[str, ...]
    printed: bool = True

    @property
    def counts(self) -> list[int]:
        return [self.sectors * (i + 1) for i in range(len(self.styles) + 2)]

    def increase_round(self, at: int) -> tuple[Step, ...]:
        """The round that makes ``counts[at]``, at >= 2: gaps of ``at - 1``."""
        gap, style = at - 1, self.styles[at - 2]
        plain = Work(SC, gap)
        if style == "to the end":
            return Repeat((plain, increase(SC))), Join()
        if style == "times":
            return Repeat((plain, increase(SC)), self.sectors), Join()
        before = gap // 2 if gap > 1 else 0
        head = (Work(SC, before),) if before else ()
        rest = (Work(SC, gap - before),)
        middle = Repeat((increase(SC), plain), self.sectors - 1)
        return (*head, middle, increase(SC), *rest, Join())

    def rounds(self) -> list[RoundText]:
        """The whole hat, with three even rounds at its end."""
        counts, printed = self.counts, self.printed
        rounds = [
            round_text(1, [Work(SC, self.sectors, "ring"), Join()], counts[0] if printed else None),
            round_text(2, [Repeat((increase(SC),)), Join()], counts[1] if printed else None),
        ]
        for at in range(2, len(counts)):
            rounds.append(
                round_text(at + 1, self.increase_round(at), counts[at] if printed else None)
            )
        last = len(counts)
        rounds.append(
            round_text(
                last + 1, [Work(SC, None), Join()], counts[-1] if printed else None, last=last + 3
            )
        )
        return rounds


def hats(*, printed: bool = True) -> st.SearchStrategy[Hat]:
    styles = st.lists(st.sampled_from(["to the end", "times", "shifted"]), min_size=3, max_size=9)
    return st.builds(Hat, st.integers(5, 12), styles.map(tuple), printed=st.just(printed))
