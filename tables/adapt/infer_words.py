"""What a design does, a line a section: ``crown: 8 x 13, stops rnd 14``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from evenround.solver.tally import SectionTally, Tally
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.steps import Stitch
from evenround.tables.rounds.writer import stitch_name
from evenround.tables.words import clean, crown_words, listed, ordinal, plural, rhythm_words, times

from .original import own_number


def section_lines(
    tally: Tally, stitches: Sequence[str], terms: Terms, numbers: tuple[int, ...] = ()
) -> Iterator[str]:
    """A line for every section of a tally, in the pattern's terms, with its rounds in the
    pattern's own ``numbers`` (none: 1, 2, 3)."""
    at, number = 0, 1
    for section in tally.sections:
        rounds = own_span(number, section.rounds, numbers)
        number += section.rounds
        if section.section == "nudge":
            yield f"nudge: {nudge(section)}, {rounds}"
            continue
        name = stitch_name(Stitch(stitches[at]), terms)
        at += 1
        yield f"{clean(section.name)} ({name}): {words(tally, section, numbers)}, {rounds}"


def words(tally: Tally, section: SectionTally, numbers: tuple[int, ...] = ()) -> str:
    """What one section does, without its rounds."""
    match section.section:
        case "crown":
            stop = own_number(numbers, tally.stop_round or 0)
            return f"{crown_words(tally)}, stops rnd {stop}"
        case "brim":
            return brim_words(section)
        case "band" | "edging":
            if section.repeat is None:
                return f"its repeat was not seen, {section.count_in} sts"
            return f"{section.repeats} x {section.repeat}{_inside(section)}"
        case "nudge":
            return nudge(section)
        case _:
            return f"{section.count_in} sts"


def _inside(section: SectionTally) -> str:
    """What a figure leaves, where that is not what it takes."""
    if section.per_repeat is None or section.per_repeat[-1] == section.repeat:
        return ""
    return f", each leaves {section.per_repeat[-1]}"


def brim_words(brim: SectionTally) -> str:
    """``9 sectors, every 2nd rnd, 9 times`` or the increases one by one where they differ."""
    grows = [(i, change) for i, change in enumerate(brim.changes) if change]
    if not grows:
        return f"{brim.count_in} sts, no increases"
    adds = {change for _, change in grows}
    if len(adds) > 1:
        listed_adds = listed([f"{change:+d}" for _, change in grows])
        return f"{listed_adds} in {plural(len(grows), 'round')}, ends on {brim.count_out}"
    add = next(iter(adds))
    steps = {b - a for (a, _), (b, _) in pairwise(grows)}
    pace = ""
    if len(steps) == 1:
        step = next(iter(steps))
        pace = " every rnd" if step == 1 else f" every {ordinal(step)} rnd"
    elif brim.rhythm is not None:
        pace = f" {(rhythm_words(brim.rhythm) or '').replace('round', 'rnd')}"
    elif steps:
        pace = f" in its rnds {listed([str(i + 1) for i, _ in grows])}"
    what = plural(add, "sector") if add > 0 else f"{-add} decreases"
    return f"{what},{pace} {times(len(grows))}, ends on {brim.count_out}"


def nudge(section: SectionTally) -> str:
    """``2 more``."""
    change = sum(section.changes)
    return f"{abs(change)} {'more' if change > 0 else 'fewer'}"


def span(first: int, rounds: int) -> str:
    """``rnd 5``, ``rnds 5-9``, ``no rounds``."""
    if rounds == 0:
        return "no rounds"
    return f"rnd {first}" if rounds == 1 else f"rnds {first}-{first + rounds - 1}"


def own_span(first: int, rounds: int, numbers: tuple[int, ...]) -> str:
    """The same in a pattern's own numbers."""
    if rounds == 0 or not numbers:
        return span(first, rounds)
    low, high = own_number(numbers, first), own_number(numbers, first + rounds - 1)
    return f"rnd {low}" if rounds == 1 else f"rnds {low}-{high}"
