"""The answer about a design to adapt: what it was, what was asked, the nearest that satisfy it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from evenround.solver.adapt import main_sections, nudges_of
from evenround.solver.adapt_crowns import stopped
from evenround.solver.adapt_design import Adapted, NewFigure
from evenround.solver.adapt_search import adapt, side_count
from evenround.solver.candidate import Measures
from evenround.solver.geometry import fullness
from evenround.solver.piece import Band, Gauge, Piece
from evenround.solver.price import band_width_cm
from evenround.solver.suits import Multiple, usual_nudge
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import clean, crown_words, plural

from .ask import Changes, Request, request
from .infer_words import brim_words
from .original import Original, own_number

MOST_ROUNDS = 3
"""Crown rounds that change and are told one by one."""
MUCH = 0.05
"""A change of fullness worth a word."""
EDGE_SHARE = 0.03
"""How much more or less than the sides an edge may change, as a share of what it was, before it is
worth a word."""
WIDE = 50
"""Designs looked at for the nearest on either side of a circumference."""


@dataclass(frozen=True, slots=True)
class Option:
    """One design that satisfies what was asked. ``change_mm`` is what changes in mm (None: no
    gauge); ``score_mm`` the brief's own score of it (None: no brief); ``changes`` says what
    changes, ``notes`` what to watch."""

    rank: int
    tally: Tally
    change_stitches: float
    change_mm: float | None
    score_mm: float | None
    changes: tuple[str, ...]
    notes: tuple[str, ...]
    measures: Measures | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """All of it. ``near``: nothing satisfies what was asked, and these come nearest. ``plan`` is
    the brief's, with the changes in it."""

    original: Original
    request: Request
    options: tuple[Option, ...]
    near: tuple[Option, ...] = ()
    plan: Plan | None = None
    unproven: bool = False

    def widths(self, tally: Tally | None = None) -> tuple[float | None, ...]:
        """The cm of one stitch of every section (nudges aside) of a design adapted, or (None) of
        the original: at its own gauge, None where nobody said that."""
        original, asked = self.original, self.request
        if tally is None:
            return original.widths
        if self.plan is not None:
            return section_widths(self.plan.piece, tally)
        new = original.widths
        if asked.gauge is not None and asked.gauge != original.gauge:
            width = asked.gauge.width_cm
            new = tuple(width if as_body else None for as_body in original.as_body)
        pairs = zip(new, main_sections(original.design.tally), main_sections(tally), strict=True)
        return tuple(
            None if a.repeat != b.repeat or (asked.figure and place == asked.place) else width
            for place, (width, a, b) in enumerate(pairs)
        )


def section_widths(piece: Piece, tally: Tally) -> tuple[float, ...]:
    """The cm of one stitch of every section (nudges aside) of a piece as worked: a band's by its
    measured repeat if there is one."""
    return tuple(
        band_width_cm(spec, worked.repeat, worked.give or 0)
        if isinstance(spec, Band) and worked.repeat is not None
        else spec.gauge.width_cm
        for spec, worked in zip(piece.sections, main_sections(tally), strict=True)
    )


def wide(widths: Sequence[float | None], tally: Tally) -> list[float | None]:
    """The same of every section with the nudges, which are as wide as the section before them."""
    out: list[float | None] = []
    at = -1
    for section in tally.sections:
        at += section.section != "nudge"
        out.append(widths[max(at, 0)])
    return out


def adapted(
    original: Original,
    changes: Changes,
    unit: Unit,
    best: int,
    bare: Unit | None = None,
    band: tuple[Multiple, NewFigure] | None = None,
) -> Answer:
    """The nearest designs to one read from a pattern; lengths are told in ``unit``, bare numbers
    are in ``bare`` (default: the same). ``band`` is what the band is to be where that is known
    better than from the flags. Raises AskError for a flag that cannot be met."""
    asked = request(original, changes, unit, bare)
    if band is not None and asked.place is not None:
        many, figure = {asked.place: band[0]}, {asked.place: band[1]}
        asked = replace(asked, asked=replace(asked.asked, repeats=many, figures=figure))
    found = adapt(original.design, asked.asked, best)
    options = tuple(_option(original, asked, each, i) for i, each in enumerate(found, 1))
    return Answer(original, asked, options, () if options else tuple(_near(original, asked)))


def _near(original: Original, asked: Request) -> Iterator[Option]:
    """What comes nearest where nothing satisfies everything: without the tolerance, without the
    repeat, without the sectors; each gives up one thing."""
    tries = []
    if asked.asked.target is not None:
        reach = 0.25 * side_count(original.design.tally)
        tries.append(("further from the circumference", replace(asked.asked, reach=reach)))
    if asked.asked.band_only:
        tries.append(("with the crown changed too", replace(asked.asked, band_only=False)))
    if asked.asked.sectors is not None:
        tries.append(("with the crown's own sectors", replace(asked.asked, sectors=None)))
    if asked.asked.repeats:
        tries.append(("without the repeat", replace(asked.asked, repeats={}, figures={})))
    for words, other in tries:
        further = other.reach != asked.asked.reach
        found = adapt(original.design, other, WIDE if further else 2)
        for each in _either_side(found, other.target or 0.0) if further else found:
            option = _option(original, asked, each, 0)
            yield replace(option, notes=(words, *option.notes))


def _either_side(found: Sequence[Adapted], target: float) -> list[Adapted]:
    """The nearest design with fewer stitches than wished, and with more, in their order."""
    first: dict[bool, Adapted] = {}
    for each in found:
        first.setdefault(side_count(each.tally) < target, each)
    return list(first.values())


def _option(original: Original, asked: Request, found: Adapted, rank: int) -> Option:
    stitches = found.cost / 1000
    width = asked.gauge.width_cm if asked.gauge is not None else None
    return Option(
        rank,
        found.tally,
        stitches,
        None if width is None else stitches * width * 10,
        None,
        _changes(original, asked, found),
        tuple(_notes(original, asked, found.tally)),
    )


def _changes(original: Original, asked: Request, found: Adapted) -> tuple[str, ...]:
    """What changes; where that is nothing, what its price is of."""
    words = tuple(change_words(original.design.tally, found.tally, original.numbers))
    if words or asked.asked.target is None or not found.cost:
        return words
    return ("nothing to work; the amount is how far it is from the circumference wished",)


# --- what changes, in words -------------------------------------------------------------------


def change_words(before: Tally, after: Tally, numbers: tuple[int, ...] = ()) -> Iterator[str]:
    """What changes from one tally to another, a part a section; ``numbers`` are the rounds' own
    (none: 1, 2, 3)."""
    rounds = first_rounds(after)
    if after.crown is None and after.start != before.start:
        yield f"chain of {after.start}, was {before.start}"
    old_nudges, new_nudges = nudges_of(before), nudges_of(after)
    pairs = list(zip(main_sections(before), main_sections(after), strict=True))
    for place, (old, new) in enumerate(pairs):
        now, was = new_nudges.get(place), old_nudges.get(place)
        if now is not None and now != was:
            rnd = own_number(numbers, rounds[place] - 1)
            yield f"{_signed(now)} in rnd {rnd} before {clean(new.name)}"
        elif was is not None and now is None:
            yield f"no nudge before {clean(new.name)} (was {_signed(was)})"
        yield from _section(before, after, old, new, numbers)


def _section(
    before: Tally, after: Tally, old: SectionTally, new: SectionTally, numbers: tuple[int, ...]
) -> Iterator[str]:
    name = clean(new.name)
    match new.section:
        case "crown" if old.changes != new.changes:
            yield f"{name}: {_crown(before, after, old, new, numbers)}"
        case "even" if old.rounds != new.rounds:
            yield f"{name}: {plural(new.rounds, 'rnd')}, was {old.rounds}"
        case "band" | "edging" if (old.repeat, old.repeats) != (new.repeat, new.repeats):
            was = f", was {old.repeats} x {old.repeat}" if old.repeat else ""
            if new.repeat is None:
                yield f"{name}: worked plain, does not fit {new.count_in}{was}"
            else:
                yield f"{name} {new.repeats} x {new.repeat}{was}"
        case "brim" if old.changes != new.changes:
            yield f"{name} {brim_words(new)}, was {brim_words(old)}"
    if new.section in ("band", "brim", "edging") and old.rounds != new.rounds:
        yield f"{name}: {plural(new.rounds, 'rnd')}, was {old.rounds}"


def _crown(
    before: Tally, after: Tally, old: SectionTally, new: SectionTally, numbers: tuple[int, ...]
) -> str:
    """How a crown differs: round by round where few do, else both in short."""
    parts = []
    for at, (a, b) in enumerate(zip_longest(_grown(old), _grown(new))):
        rnd = own_number(numbers, at + 1)
        if b is None:
            parts.append(f"rnd {rnd} left out")
        elif a is None:
            parts.append(f"rnd {rnd} adds {b} ({new.counts[at] - b} to {new.counts[at]})")
        elif a != b:
            now = f"({new.counts[at] - b} to {new.counts[at]})"
            parts.append(f"rnd {rnd} adds {b} {now}, not {a}")
    if len(parts) > MOST_ROUNDS or not parts:
        return f"{crown_words(after)}, was {crown_words(before)}"
    return "; ".join(parts)


def _grown(crown: SectionTally) -> tuple[int, ...]:
    """A crown's changes up to its stop round."""
    return stopped(crown.changes)


def _signed(change: int) -> str:
    return f"{change:+d}"


def first_rounds(tally: Tally) -> list[int]:
    """The first round of every section, nudges aside."""
    found, at = [], 1
    for section in tally.sections:
        if section.section != "nudge":
            found.append(at)
        at += section.rounds
    return found


def _notes(original: Original, asked: Request, tally: Tally) -> Iterator[str]:
    """What to watch in a design: large nudges, a crown's uneven last round, the width, the edge."""
    for old, new in zip(main_sections(original.design.tally), main_sections(tally), strict=True):
        yield from _leaves(asked, old, new)
    for section in tally.sections:
        if section.section == "nudge":
            change = sum(section.changes)
            if abs(change) > usual_nudge(section.count_in):
                yield (
                    f"{change:+d} on {section.count_in} is more than a usual nudge (at most "
                    f"{usual_nudge(section.count_in)}): it shows"
                )
        elif section.section == "crown":
            yield from _last_round(original, section)
            yield from _fullness(original, asked.gauge, section)
    yield from edge_notes(original.design.tally, tally)


def edge_notes(before: Tally, after: Tally) -> Iterator[str]:
    """A brim whose edge changed by more than the sides did: what it grows by is how far it
    spreads."""
    old, new = before.brim, after.brim
    if old is None or new is None:
        return
    was, now = (sum(brim.changes) for brim in (old, new))
    share = (now - was) / old.count_out
    if abs(share) > EDGE_SHARE:
        way = "spreads more" if now > was else "hangs steeper"
        hangs = f": it {way}" if old.rounds == new.rounds else ""
        yield (
            f"{clean(new.name)} grows by {now} sts, was {was}: beside the sides its edge is "
            f"{100 * abs(share):.0f} % {'longer' if now > was else 'shorter'}{hangs}"
        )


def _leaves(asked: Request, old: SectionTally, new: SectionTally) -> Iterator[str]:
    """What a figure that nobody wrote is taken to leave, where the old one changed the count."""
    if asked.figure is not None or new.per_repeat is None or new.repeat == old.repeat:
        return
    if new.per_repeat[-1] != new.repeat:
        yield (
            f"{clean(new.name)}: a repeat of {new.repeat} is taken to leave "
            f"{new.per_repeat[-1]}, in proportion; use what yours leaves"
        )


def _fullness(original: Original, gauge: Gauge | None, crown: SectionTally) -> Iterator[str]:
    """How full the crown is at its stop round, where that is no longer what it was."""
    old = original.design.tally.crown
    if gauge is None or not gauge.height_cm or old is None:
        return
    full = _full(gauge, crown)
    was = original.gauge
    before = _full(was, old) if was is not None and was.height_cm else None
    if before is not None and abs(full - before) < MUCH:
        return
    words = "" if before is None else f", was {before:.2f}"
    yield f"the crown's fullness is {full:.2f} (1.00 lies flat){words}"


def _full(gauge: Gauge, crown: SectionTally) -> float:
    stop = len(stopped(crown.changes))
    return fullness(crown.counts[stop - 1], gauge.width_cm, stop * gauge.height_cm)


def _last_round(original: Original, crown: SectionTally) -> Iterator[str]:
    old = original.design.tally.crown
    if old is not None and old.changes == crown.changes:
        return
    grown = [i for i, change in enumerate(crown.changes) if change > 0]
    if len(grown) < 2:
        return
    last = grown[-1]
    before, adds = crown.counts[last - 1], crown.changes[last]
    if before % adds and adds % before:
        rnd = original.own_number(last + 1)
        yield f"{adds} increases over {before} in rnd {rnd}: gaps that differ by one"
