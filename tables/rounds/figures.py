"""Figures written in rounds, and what follows from them: multiple, counts, stitches used.

``figures()`` has every figure of data/figure_rounds.toml, ``figure(name)`` one, and
``figure_rounds(name, t)`` its rounds as steps. What a figure takes and leaves is worked out by
the counter from its rounds, never typed.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType
from typing import Any

from evenround.tables.facts import data_text, table

from .figures_fit import Fitted, around, fitted
from .figures_give import has_give, read_with_give
from .figures_stitches import main_stitch, stitches_used
from .pattern import Terms
from .steps import Into, Repeat, Step, Stitch, Work

Steps = tuple[Step, ...]


class UnknownFigureError(KeyError):
    """There is no figure of that name."""


@dataclass(frozen=True, slots=True)
class FigureRound:
    """One round of a figure: ``at(t)`` are its steps, one repeat of it, or where ``whole`` is
    true the whole round. ``begin`` is where it begins when it is not the band's first round;
    ``how`` says what steps cannot."""

    text: str
    at: Callable[[int], Steps] = field(compare=False, repr=False)
    whole: bool = False
    begin: str = ""
    how: str = ""

    def around(self, t: int = 0, over: int = 0) -> Steps:
        """The whole round: the repeat to the end, the ``over`` places after it worked plain."""
        steps = self.at(t)
        if self.whole:
            return steps
        if over:
            return (Repeat(steps, None, over), Work(main_stitch(steps) or Stitch("sc"), over))
        return (self._in_each(steps),) if len(steps) == 1 else around(steps)

    def _in_each(self, steps: Steps) -> Step:
        """One in each of the next 3, over and over, is one in each."""
        match steps[0]:
            case Work(n=int(), target="next") if not self.how:
                return replace(steps[0], n=None)
            case Into(target="next"):
                return replace(steps[0], times=None)
            case _:
                return Repeat(steps)

    def repeated(self, t: int = 0) -> Steps:
        """The whole round as it is counted: always the repeat over and over."""
        steps = self.at(t)
        return steps if self.whole else around(steps)


@dataclass(frozen=True)
class FigureRounds:
    """A figure in rounds.

    ``rounds`` are its own, worked over and over; ``set_up`` and ``closing`` are worked once,
    before and after them. ``on`` is the stitch of the round below where that matters; ``turned``:
    the work is turned before every round; ``even``: an even number of repeats is wanted;
    ``spiral``: stitches over whole repeats that a spiral wants. ``height`` is the usual height of
    the whole figure in stitches ("2 dc"; "" = nobody said), ``note`` where it is from.
    """

    name: str
    rounds: tuple[FigureRound, ...]
    set_up: tuple[FigureRound, ...] = ()
    closing: tuple[FigureRound, ...] = ()
    on: str | None = None
    turned: bool = False
    even: bool = False
    spiral: int = 0
    open: bool = False
    height: str = ""
    note: str = ""
    remembered: tuple[tuple[int, int], ...] = ()

    @property
    def once(self) -> tuple[FigureRound, ...]:
        """Set-up, every round of the figure once, and closing."""
        return (*self.set_up, *self.rounds, *self.closing)

    @property
    def has_give(self) -> bool:
        """Whether its repeat has t plain stitches of give."""
        return any(has_give(each.text) for each in self.once)

    @property
    def stretches(self) -> bool:
        """Whether its own rounds are worked any number of times between set-up and closing."""
        return bool(self.set_up or self.closing)

    def worked(self, rounds: int | None = None) -> tuple[FigureRound, ...]:
        """``rounds`` rounds in order (None: the figure once), set-up and closing among them.

        ValueError where there are fewer than set-up and closing take.
        """
        if rounds is None:
            return self.once
        own = rounds - len(self.set_up) - len(self.closing)
        if own < 0:
            raise ValueError(f"{self.name} has {len(self.once)} rounds; {rounds} are too few")
        inner = tuple(self.rounds[i % len(self.rounds)] for i in range(own))
        return (*self.set_up, *inner, *self.closing)

    def steps(self, t: int = 0, rounds: int | None = None) -> tuple[Steps, ...]:
        """The steps of ``worked(rounds)``, one repeat of each round (the whole round where
        the brief wrote it whole)."""
        return tuple(each.at(t) for each in self.worked(rounds))

    def around(self, t: int = 0, rounds: int | None = None, over: int = 0) -> tuple[Steps, ...]:
        """The steps of ``worked(rounds)``, each the whole round, without opening and join;
        ``over`` places outside the repeats are worked plain at the end."""
        return tuple(each.around(t, over) for each in self.worked(rounds))

    def fitted(self, t: int = 0) -> Fitted:
        """Counts per repeat before and after each round of the figure once, and what is over."""
        return fitted([each.repeated(t) for each in self.once])

    def counts(self, t: int = 0) -> tuple[int, ...]:
        """Counts per repeat with t plain stitches, before and after each round."""
        return self.fitted(t).counts

    def multiple(self, t: int = 0) -> int:
        """Stitches one repeat takes with t plain stitches of give."""
        return self.fitted(t).multiple

    def terms(self) -> tuple[tuple[int, int], ...]:
        """Counts as (stitches, times t): ((8, 1), (10, 1), (8, 1)) is 8+t, 10+t, 8+t.

        A figure of the table has them remembered from its rounds (figure_counts.csv; a test holds
        them to ``derived_terms``), so that a brief that only names it needs no reading.
        """
        return self.remembered or self.derived_terms()

    def derived_terms(self) -> tuple[tuple[int, int], ...]:
        """The same, worked out from the rounds."""
        first = self.counts(1)
        if not self.has_give:
            return tuple((count, 0) for count in first)
        return tuple((a - (b - a), b - a) for a, b in zip(first, self.counts(2), strict=True))

    def stitches(self) -> tuple[str, ...]:
        """What its rounds are made of, in US terms and order of appearance."""
        return stitches_used(step for each in self.once for step in each.at(1))


def read_round(text: str, terms: Terms = "us", **said: Any) -> FigureRound:
    """One round from its text; ReadError where it cannot be read."""
    from .reader import read_steps

    return FigureRound(text, read_with_give(text, lambda t: read_steps(t, terms)), **said)


@cache
def _table() -> Mapping[str, Mapping[str, Any]]:
    return MappingProxyType(tomllib.loads(data_text("figure_rounds.toml")))


def figure_names() -> tuple[str, ...]:
    """Names of all figures, in the table's order; nothing is read or counted for them."""
    return tuple(_table())


@cache
def figure(name: str) -> FigureRounds:
    """The figure of that name; UnknownFigureError if there is none."""
    said = _table().get(name)
    if said is None:
        raise UnknownFigureError(name)
    row = next((r for r in table("figures") if r["figure"] == name), None)
    facts: Mapping[str, Any] = said if row is None else row
    # a row's first sentence says where it is from; the rounds say the rest
    source = said["source"] if "source" in said else facts["note"].split(". ")[0]
    notes = [said.get("note", ""), source]
    return FigureRounds(
        name,
        rounds=_rounds(said, "rounds"),
        set_up=_rounds(said, "set_up"),
        closing=_rounds(said, "closing"),
        on=said.get("on"),
        turned=said.get("turned", False),
        even=said.get("even", False),
        spiral=said.get("spiral", 0),
        open=facts["open"] == "yes",
        height=facts["height"],
        note="; ".join(note for note in notes if note),
        remembered=_remembered(name),
    )


def _remembered(name: str) -> tuple[tuple[int, int], ...]:
    """Counts of a figure as figure_counts.csv has them ("8+t 10+t 8+t")."""
    text = next((row["counts"] for row in table("figure_counts") if row["figure"] == name), "")
    pairs = (term.partition("+") for term in text.split())
    return tuple((int(count), 1 if give else 0) for count, _, give in pairs)


def _rounds(said: Mapping[str, Any], key: str) -> tuple[FigureRound, ...]:
    entries: Sequence[Mapping[str, str]] = said.get(key, ())
    return tuple(
        FigureRound(
            each["work"], _later(each["work"]), begin=each.get("begin", ""), how=each.get("how", "")
        )
        for each in entries
    )


def _later(text: str) -> Callable[[int], Steps]:
    """A round of the table, read when its steps are first asked for."""

    @cache
    def read() -> Callable[[int], Steps]:
        return read_round(text).at

    return lambda t: read()(t)


def figures() -> tuple[FigureRounds, ...]:
    """Every figure, in the table's order."""
    return tuple(figure(name) for name in figure_names())


def figure_rounds(name: str, t: int = 0, rounds: int | None = None) -> tuple[Steps, ...]:
    """A figure's rounds as steps, one repeat of each round, with t plain stitches of give:
    ``rounds`` of them in order, set-up and closing among them (None: the figure once)."""
    return figure(name).steps(t, rounds)
