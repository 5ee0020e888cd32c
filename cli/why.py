"""``evenround why``: why nothing fits, and the cheapest ways out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, note, say
from .files import STDOUT, check_out, hand_over, show, write_out
from .options import (
    BriefName,
    BrimWidth,
    Depth,
    Ease,
    EdgeRepeat,
    ExampleName,
    Flare,
    Force,
    GaugeText,
    Head,
    Meant,
    OutFile,
    Repeat,
    RepeatWidth,
    Sectors,
    StitchName,
    Tolerance,
    check_seconds,
    flag,
)

if TYPE_CHECKING:
    from evenround.tables.family import Graded
    from evenround.tables.plan import Unit
    from evenround.tables.why.document import Source
    from evenround.tables.why.explained import Explained


class Format(StrEnum):
    """What the answer is written as."""

    TABLE = "table"
    MARKDOWN = "markdown"
    JSON = "json"


@dataclass(frozen=True, slots=True)
class Asked:
    """The flags of one call that are not about the brief."""

    size: str | None
    format: Format
    units: Unit | None
    seconds: float
    apply: int | None
    out: str | None
    force: bool


def why(
    brief: BriefName = None,
    example: ExampleName = None,
    size: Annotated[str | None, flag("Only this size of the brief.", "NAME")] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    units: Meant = None,
    time_limit: Annotated[
        float, typer.Option(metavar="S", help="Seconds for each second opinion.")
    ] = 10.0,
    apply: Annotated[int | None, flag("Write the brief with way out N in it instead.", "N")] = None,
    out: OutFile = None,
    force: Force = False,
    head: Head = None,
    ease: Ease = None,
    gauge: GaugeText = None,
    stitch: StitchName = None,
    depth: Depth = None,
    repeat: Repeat = None,
    repeat_width: RepeatWidth = None,
    brim: BrimWidth = None,
    flare: Flare = None,
    edge_repeat: EdgeRepeat = None,
    tolerance: Tolerance = None,
    sectors: Sectors = None,
) -> None:
    """Say why nothing fits BRIEF, and the cheapest ways out.

    A conflict is requirements that cannot hold together. Every size is looked at unless one is
    named. --apply N writes the brief with way out N, its comments kept.
    """
    _check(apply, time_limit, format)
    check_out(out, force=force)
    texts = {
        "head": head,
        "ease": ease,
        "gauge": gauge,
        "stitch": stitch,
        "depth": depth,
        "repeat": repeat,
        "repeat_width": repeat_width,
        "brim": brim,
        "flare": flare,
        "edge_repeat": edge_repeat,
        "tolerance": tolerance,
        "sectors": sectors,
    }
    briefs.check_source(brief, example, flags=any(v is not None for v in texts.values()))
    unit: Unit | None = None if units is None else units.value
    asked = Asked(size, format, unit, time_limit, apply, out, force)
    raise typer.Exit(answer(brief, example, texts, asked))


def _check(apply: int | None, time_limit: float, format: Format) -> None:
    check_seconds(time_limit)
    if apply is None:
        return
    if apply < 1:
        raise RefusalError(f"--apply: {apply} is no way out; they are numbered from 1")
    if format is not Format.TABLE:
        raise RefusalError(
            f"--format: {format.value} does not go with --apply, which writes a brief (TOML); "
            "leave one of them out"
        )


def answer(
    brief: str | None, example: str | None, texts: dict[str, str | None], asked: Asked
) -> Exit:
    """Explain, write, and say how it ended. Nothing is written before all of it is ready."""
    from evenround.tables.brief import BriefError
    from evenround.tables.why.explained import explain_all

    try:
        source = _source(brief, example, texts, asked)
        sizes = [_picked(source, asked.size)] if asked.size is not None else source.brief.sizes
        explained = explain_all(source.brief, sizes, seconds=asked.seconds)
        if asked.apply is not None:
            return _apply(source, explained, asked.apply, asked)
        family = _family(source, explained, asked)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    text = _written(explained, family, asked)
    plain = "text" if asked.format is Format.TABLE else asked.format.value
    hand_over(text, asked.out, force=asked.force, format=plain)
    return _ending(explained, family)


def _ending(explained: Sequence[Explained], family: Graded | None) -> Exit:
    """0 where everything was explained; 3 where an "impossible" is unconfirmed; 5 where two
    paths disagree."""
    if any(each.contradicted for each in explained):
        return Exit.INTERNAL
    if any(each.unsure for each in explained):
        return Exit.NO_PROOF
    if family is not None and family.grade.status == "unproven" and not family.grade.families:
        return Exit.NO_PROOF
    return Exit.DONE


def _source(
    brief: str | None, example: str | None, texts: dict[str, str | None], asked: Asked
) -> Source:
    """The brief as it was written, and with the flags in it."""
    from evenround.tables.brief import Flags, brief_from_flags, with_flags
    from evenround.tables.why.document import Source

    flags = Flags(**texts)
    if brief is None and example is None:
        made = brief_from_flags(flags, asked.units or "cm")
        return Source(None, made, Flags(), asked.size, made)
    before, text = briefs.with_text(brief, example)
    after = with_flags(before, flags, asked.size)[0] if flags.given else before
    return Source(text, before, flags, asked.size, after)


def _picked(source: Source, size: str) -> str:
    """The brief's own spelling of a size."""
    from evenround.tables.brief_flags import pick_size

    return pick_size(source.brief.fields, size)


def _family(source: Source, explained: Sequence[Explained], asked: Asked) -> Graded | None:
    """All sizes together, where each can be made alone and there are several."""
    if asked.size is not None or len(explained) < 2:
        return None
    if any(not each.why.possible or each.contradicted for each in explained):
        return None
    from evenround.solver.grade import grade
    from evenround.tables.brief import family_of
    from evenround.tables.family import Graded

    plans, rules = family_of(source.brief)
    found = grade([plan.piece for plan in plans], rules, best=1, time_limit=asked.seconds)
    return Graded(tuple(plans), rules, found, asked.units or plans[0].unit)


def _written(explained: Sequence[Explained], family: Graded | None, asked: Asked) -> str:
    """The whole text in the format asked for."""
    unit = asked.units or explained[0].plan.unit
    if asked.format is Format.JSON:
        from evenround.tables.why.export import to_json

        return to_json(explained, unit, family)
    from evenround.tables.why import page

    style = page.MARKDOWN if asked.format is Format.MARKDOWN else page.TERMINAL
    return page.page(explained, unit, asked.seconds, family, style)


def _apply(source: Source, explained: Sequence[Explained], number: int, asked: Asked) -> Exit:
    """The brief with one way out written into it, to the file or the terminal."""
    from evenround.tables.why.changes import changes_words
    from evenround.tables.why.document import applied, still_stuck
    from evenround.tables.why.hats import hat_words

    stuck = _the_stuck_one(explained)
    way = next((way for way in stuck.ways if way.number == number), None)
    if way is None:
        n = len(stuck.ways)
        there = {0: "there is none", 1: "there is one"}.get(n, f"there are {n}")
        raise RefusalError(f"--apply: there is no way out {number}; {there}")
    text = applied(source, way)
    unit = asked.units or stuck.plan.unit
    words = changes_words(stuck.plan, way.changes, unit, way.plan.piece)
    hat = hat_words(way.plan, way.candidate, unit)
    if asked.out is None or asked.out == STDOUT:
        show(text, "utf-8")
        note(f"evenround: {words}; {hat}")
    else:
        write_out(asked.out, text, force=asked.force)
        note(f"evenround: wrote {asked.out}: {words}; {hat}")
    if others := still_stuck(text):
        say(f"evenround: sizes that still cannot be made with it: {', '.join(others)}")
    return _ending(explained, None)


def _the_stuck_one(explained: Sequence[Explained]) -> Explained:
    """The one size that cannot be made; a refusal where there is none, or where there are
    several."""
    if any(each.contradicted for each in explained):
        raise RefusalError(
            "--apply: nothing can be applied: the search and the second opinion disagree; "
            "`evenround why` without --apply shows what was found",
            Exit.INTERNAL,
        )
    stuck = [each for each in explained if not each.why.possible]
    if not stuck:
        raise RefusalError("--apply: nothing to apply; no size has a conflict")
    if len(stuck) > 1:
        names = ", ".join(each.plan.size for each in stuck)
        raise RefusalError(f"--apply: several sizes have ways out; say with --size which: {names}")
    return stuck[0]
