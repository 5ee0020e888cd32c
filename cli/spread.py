"""``evenround spread``: increases or decreases spread evenly over a round or a row."""

from __future__ import annotations

import re
from typing import Annotated, Any

import typer

from .errors import RefusalError
from .files import check_out, hand_over
from .options import Force, Format, OutFile, Terms, plain, stitch_of

CONTEXT: dict[str, Any] = {"ignore_unknown_options": True}
"""A negative number of changes is no option."""


def spread(
    stitches: Annotated[str, typer.Argument(metavar="STITCHES", help="Stitches there are.")],
    changes: Annotated[
        str, typer.Argument(metavar="CHANGES", help="How many more; with a minus, how many fewer.")
    ],
    flat: Annotated[
        bool, typer.Option("--flat", help="In a row: a gap at both ends, none over a join.")
    ] = False,
    shift: Annotated[
        bool, typer.Option("--shift", help="Half a gap at both ends; for every other round.")
    ] = False,
    terms: Annotated[Terms, typer.Option(help="Terms of the words.")] = Terms.US,
    stitch: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Stitch of the words; us sc.", show_default=False),
    ] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Spread increases or decreases evenly over a round or a row.

    CHANGES with a minus are decreases.
    """
    check_out(out, force=force)
    from evenround.tables.spread import SpreadError, spread_out

    many = [_whole("STITCHES", stitches), _whole("CHANGES", changes)]
    us = "sc" if stitch is None else stitch_of(stitch, terms.value)
    try:
        found = spread_out(many[0], many[1], flat=flat, shift=shift)
    except SpreadError as error:
        raise RefusalError(str(error)) from None
    hand_over(_written(found, us, terms, format), out, force=force, format=plain(format))


def _whole(name: str, text: str) -> int:
    if not re.fullmatch(r"[+-]?[0-9]{1,15}", text.strip(), re.ASCII):
        shown = text if len(text) <= 20 and text.isprintable() else text[:20] + "..."
        like = "a whole number such as 96" if name == "STITCHES" else "a whole number, 6 or -6,"
        raise RefusalError(f"{name}: found {shown!r}; {like} would be right")
    return int(text)


def _written(found: Any, us: str, terms: Terms, format: Format) -> str:
    from evenround.tables import spread_words as words
    from evenround.tables.rounds.steps import Stitch
    from evenround.tables.spread_steps import spread_words

    if format is Format.CSV:
        return words.to_csv(found)
    said = spread_words(found, Stitch(us), terms.value)
    if format is Format.JSON:
        return words.to_json(found, said, terms.value)
    if format is Format.MARKDOWN:
        return words.to_markdown(found, said)
    return words.to_text(found, said)
