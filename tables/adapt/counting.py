"""A count already on the hook: which repeats and figures suit it, and the way to one wished for.

Plain frozen data for the pages of ``counting_page``; the spreading and its words are those of
``evenround.tables.spread``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenround.solver.suits import Multiple, nearest, suits_all, usual_nudge
from evenround.tables.brief_values import read_repeat
from evenround.tables.rounds.figures import FigureRounds, figure, figure_names, figures
from evenround.tables.rounds.figures_words import term
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.steps import Stitch
from evenround.tables.spread import SpreadError, spread_out
from evenround.tables.spread_steps import spread_words

SMALLEST, LARGEST = 2, 30
"""The repeats looked at where none is wished for."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A repeat wished for: what it is called, what it wants, and notes on how it was read."""

    words: str
    multiple: Multiple
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Suit:
    """A repeat that suits a count: ``t`` is None where it has no give."""

    name: str
    stitches: int
    repeats: int
    t: int | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """A count that suits what is wished: the ``change`` that leads there, whether a nudge is
    usually as large, by how many cm the round grows (None: no gauge), what fits, and the round
    in words (None: more than one round can add or drop)."""

    count: int
    change: int
    within: bool
    change_cm: float | None
    suits: tuple[Suit, ...]
    words: str | None


@dataclass(frozen=True, slots=True)
class Wished:
    """What is wished (one repeat, or several together) and how the count stands to it: ``over``
    are the stitches over whole repeats where a single repeat without give was asked."""

    words: str
    fits: tuple[Suit, ...]
    over: int | None
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class Counted:
    """The whole answer about one count."""

    count: int
    around_cm: float | None
    limit: int
    repeats: tuple[Suit, ...]
    figures: tuple[Suit, ...]
    wished: tuple[Wished, ...]
    notes: tuple[str, ...]


def wish_of_repeat(text: str) -> Wish:
    """``6``, ``8+t`` or ``6 + 1`` as typed; ValueError says what would be right."""
    said = read_repeat(text.strip())
    over = said.over % said.stitches if said.over else 0
    words = f"{said.stitches}{'+t' if said.give else ''}{f' + {said.over}' if said.over else ''}"
    notes: tuple[str, ...] = ()
    if said.give:
        notes = (f"{words}: t is looked for from 0 to {said.stitches}",)
    if said.over:
        notes += (
            f"{words}: whole repeats and {said.over} more are looked for; in joined rounds the "
            f"+ {said.over} of a flat pattern falls away, then ask for {said.stitches}",
        )
    many = Multiple(
        said.stitches, over, int(said.give), (0, said.stitches) if said.give else (0, 0)
    )
    return Wish(words, many, notes)


def wish_of_figure(name: str) -> Wish:
    """A figure of the table by name; ValueError lists what there is."""
    found = figure(figure_name(name))
    many = _multiple(found)
    notes: tuple[str, ...] = ()
    if found.even:
        notes = (f"{found.name} wants an even number of repeats",)
    if many.give:
        notes += (f"{found.name}: t is looked for from 0 to {many.stitches}",)
    return Wish(f"{found.name} ({term(*found.terms()[0])})", many, notes)


def figure_name(name: str) -> str:
    """A figure's name as the table spells it; ValueError lists them all."""
    known = {each.casefold(): each for each in figure_names()}
    if name.strip().casefold() not in known:
        raise ValueError(f"found {name[:40]!r}; the figures are: {', '.join(known.values())}")
    return known[name.strip().casefold()]


def _multiple(found: FigureRounds) -> Multiple:
    stitches, give = found.terms()[0]
    return Multiple(stitches, 0, give, (0, stitches) if give else (0, 0), found.even)


def counted(
    count: int,
    wishes: Sequence[Wish],
    *,
    stitch: str = "sc",
    terms: Terms = "us",
    width_cm: float | None = None,
) -> Counted:
    """All about a count. ``stitch`` (US abbreviation) is what a nudge is worked in; ``width_cm``
    one stitch's width, None where there is no gauge. Several wishes are also looked at together."""
    maker = _Maker(count, Stitch(stitch), terms, width_cm)
    wished = [maker.wished((wish,)) for wish in wishes]
    if len(wishes) > 1:
        wished.append(maker.wished(tuple(wishes)))
    return Counted(
        count,
        None if width_cm is None else count * width_cm,
        usual_nudge(count),
        tuple(
            Suit(str(m), m, n)
            for m in range(SMALLEST, LARGEST + 1)
            for _, n in Multiple(m).fitting(count)
        ),
        tuple(suit for each in figures() for suit in _suits(each.name, _multiple(each), count)),
        tuple(wished),
        tuple(note for wish in wishes for note in wish.notes),
    )


def _suits(name: str, many: Multiple, count: int) -> tuple[Suit, ...]:
    return tuple(
        Suit(name, many.at(t), repeats, t if many.give else None)
        for t, repeats in many.fitting(count)
    )


@dataclass(frozen=True, slots=True)
class _Maker:
    count: int
    stitch: Stitch
    terms: Terms
    width_cm: float | None

    def wished(self, wishes: Sequence[Wish]) -> Wished:
        many = [wish.multiple for wish in wishes]
        single = many[0] if len(many) == 1 and not many[0].give else None
        over = None if single is None else (self.count - single.remainder) % single.stitches
        found = nearest(many, self.count)
        return Wished(
            " and ".join(wish.words for wish in wishes),
            self.fitting(wishes, self.count) if suits_all(many, self.count) else (),
            over,
            tuple(self.way(wishes, n) for n in found if n is not None),
        )

    def fitting(self, wishes: Sequence[Wish], count: int) -> tuple[Suit, ...]:
        return tuple(s for wish in wishes for s in _suits(wish.words, wish.multiple, count))

    def way(self, wishes: Sequence[Wish], count: int) -> Way:
        change = count - self.count
        try:
            words = spread_words(spread_out(self.count, change), self.stitch, self.terms)
        except SpreadError:
            words = None
        return Way(
            count,
            change,
            abs(change) <= usual_nudge(self.count),
            None if self.width_cm is None else change * self.width_cm,
            self.fitting(wishes, count),
            words,
        )
