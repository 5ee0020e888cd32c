"""What ``why`` shows: the sizes that can be made, then every conflict with its ways out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from evenround.solver.candidate import Fit
from evenround.tables.family import Graded, no_family
from evenround.tables.layout import paragraph
from evenround.tables.plan import Unit
from evenround.tables.safe import fenced, in_markdown
from evenround.tables.underneath import near_miss_block, remarks_below
from evenround.tables.words import clean, listed

from .changes import A_HOOK
from .conflicts import confirmed_words, conflicts_words, contradicted_words
from .explained import Explained
from .hats import ways_list, ways_table


@dataclass(frozen=True, slots=True)
class Style:
    """How a page is written: its prose, lines that stay as they are, and the ways out."""

    prose: Callable[[str], str]
    lines: Callable[[str], str]
    ways: Callable[[Explained, Unit], str]


TERMINAL = Style(paragraph, str, ways_list)
MARKDOWN = Style(in_markdown, fenced, ways_table)


def page(
    explained: Sequence[Explained],
    unit: Unit,
    seconds: float,
    family: Graded | None = None,
    style: Style = TERMINAL,
) -> str:
    """The whole answer, for the terminal at most 80 columns wide; ``seconds`` is what a second
    opinion had, ``family`` the sizes tried together."""
    blocks = [style.prose(line) for line in possible_lines(explained)]
    for each in explained:
        blocks += _one(each, unit, seconds, style)
    if family is not None:
        blocks.append(_family(family, style))
    blocks += [style.prose(line) for line in _about_ways(explained)]
    below = dict.fromkeys(line for each in explained for line in _below(each))
    if below:
        blocks.append(style.lines("\n".join(below)))
    return "\n\n".join(blocks) + "\n"


def possible_lines(explained: Sequence[Explained]) -> Iterator[str]:
    """The sizes that can be made, in one line; nothing where there are none."""
    made = [e for e in explained if e.why.possible and not e.contradicted]
    if not made:
        return
    title = clean(made[0].plan.title)
    if len(made[0].plan.sizes) == 1:
        yield f"{title}: this can be made; nothing is in the way. `evenround fit` lists the hats."
        return
    names = listed([clean(e.plan.size) for e in made])
    every = ", every size by itself" if len(made) == len(made[0].plan.sizes) else ""
    yield f"{title}: {names} can be made{every}."


def _one(each: Explained, unit: Unit, seconds: float, style: Style) -> list[str]:
    """The blocks of one size that cannot be made, or that two paths disagree about."""
    if each.contradicted:
        said, *found = contradicted_words(each.why)
        blocks = [style.prose(_head(each, "the two ways of looking disagree")), style.prose(said)]
        return blocks + ([style.lines("\n".join(found))] if found else [])
    if each.why.possible:
        return []
    lines = [
        _head(each, "no design meets every requirement"),
        *conflicts_words(each.plan, each.why, each.near_misses, unit),
        confirmed_words(each.why, seconds),
    ]
    misses = near_miss_block(each.plan, Fit("impossible", (), each.near_misses, ()), unit)
    return [*map(style.prose, lines), style.ways(each, unit), style.lines(misses)]


def _head(each: Explained, says: str) -> str:
    where = f", {clean(each.plan.size)}" if len(each.plan.sizes) > 1 else ""
    return f"{clean(each.plan.title)}{where}: {says}."


def _family(family: Graded, style: Style) -> str:
    """All sizes together."""
    if family.grade.status == "impossible":
        return style.lines(no_family(family))
    if family.grade.families:
        return style.prose("All sizes together make a family: `evenround grade` lists the best.")
    return style.prose("Whether all sizes make a family was not settled in the time.")


def _about_ways(explained: Sequence[Explained]) -> Iterator[str]:
    """What holds for all ways out, said once."""
    ways = [way for each in explained for way in each.ways]
    if not ways:
        return
    every = " A change holds for every size." if len(explained[0].plan.sizes) > 1 else ""
    yield (
        "Each way out was written into the brief, read and solved again; --apply N writes that "
        f"brief.{every}"
    )
    if any(change.what == "gauge" for way in ways for change in way.changes):
        yield f"Hooks: {A_HOOK}."


def _below(each: Explained) -> list[str]:
    """Assumptions, notes and cautions of one size, each wrapped."""
    assumed = [f"Assumed: {clean(s)}" for s in each.plan.assumptions]
    return [*(paragraph(s, indent="  ", first="") for s in assumed), *remarks_below(each.plan)]
