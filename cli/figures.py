"""``evenround figures``: the figures known, or one of them written out in rounds."""

from __future__ import annotations

from typing import Annotated

import typer

from .errors import RefusalError
from .files import check_out, hand_over
from .options import Force, Format, OutFile, Terms, plain


def figures(
    name: Annotated[
        list[str] | None,
        typer.Argument(metavar="NAME", help="One figure, with its rounds.", show_default=False),
    ] = None,
    terms: Annotated[Terms, typer.Option(help="Terms of the words.")] = Terms.US,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """List the figures a brief can name, or write one out in rounds."""
    check_out(out, force=force)
    text = _written(" ".join(name) if name else None, terms, format)
    hand_over(text, out, force=force, format=plain(format))


def _written(name: str | None, terms: Terms, format: Format) -> str:
    from evenround.tables.rounds import figures_words as words
    from evenround.tables.rounds.figures import figure
    from evenround.tables.rounds.figures import figures as every

    found = every() if name is None else (figure(_known(name)),)
    one = name is not None
    if format is Format.CSV:
        return words.to_csv(found, terms.value, one=one)
    if format is Format.JSON:
        return words.to_json(found, terms.value, one=one)
    if format is Format.MARKDOWN:
        make = words.figure_markdown
        return make(found[0], terms.value) if one else words.list_markdown(found, terms.value)
    return words.figure_text(found[0], terms.value) if one else words.list_text(found, terms.value)


def _known(name: str) -> str:
    """The figure's name as the table has it, whatever its capitals."""
    from evenround.tables.rounds.figures import figure_names

    names = figure_names()
    wanted = " ".join(name.split()).casefold()
    for known in names:
        if known.casefold() == wanted:
            return known
    from evenround.tables.brief_faults import describe, nearest

    raise RefusalError(f"NAME: found {describe(name)}; {nearest(name, names, 'the figures are')}")
