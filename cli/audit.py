"""``evenround audit``: a written pattern counted round by round."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from .errors import Exit, RefusalError
from .files import check_out, hand_over, read_file
from .options import Force, Format, OutFile, Units

LARGEST = 1_000_000
"""Bytes; the longest pattern in five sizes takes a hundred thousand."""


class Vocabulary(StrEnum):
    """Whose names of stitches a pattern uses."""

    US = "us"
    UK = "uk"
    AUTO = "auto"


class ChainCounts(StrEnum):
    """Whether the chain that opens a round counts as a stitch."""

    YES = "yes"
    NO = "no"
    AUTO = "auto"


def audit(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="A written pattern (text); - for standard input.")
    ],
    terms: Annotated[
        Vocabulary, typer.Option(help="US or UK names; auto: guessed, and said.")
    ] = Vocabulary.AUTO,
    chain_counts: Annotated[
        ChainCounts, typer.Option(help="Whether opening chains count; auto: settled, and said.")
    ] = ChainCounts.AUTO,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    units: Annotated[
        Units | None,
        typer.Option(help="Show lengths in these; default: the pattern's.", show_default=False),
    ] = None,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Count every round of a written pattern and say what disagrees.

    Of each round: what it uses, has, makes and prints.

    Exit codes: 0 all agree; 1 something disagrees or was not read; 2 nothing could be read.
    """
    check_out(out, force=force)
    text = read_pattern_text(file)
    from evenround.tables.audit import audit_pattern
    from evenround.tables.rounds.reader import ReadError, read_pattern

    try:
        pattern = read_pattern(text, terms.value)
    except ReadError as error:
        raise RefusalError(f"FILE: {file}: {error}") from None
    found = audit_pattern(
        pattern, chain_counts.value, text=text, unit=None if units is None else units.value
    )
    if not found.counted:
        first = found.unread[0] if found.unread else None
        where = "" if first is None else f"; line {first.where.line}: {first.why}"
        raise RefusalError(
            f"FILE: {file}: no round could be counted{where}; a round such as "
            "\u201cRnd 1: 6 sc in a ring (6)\u201d would be right"
        )
    content = _written(found, format)
    hand_over(content, out, force=force, format=format.value)
    raise typer.Exit(Exit.DONE if found.agrees else Exit.IN_PART)


def _written(found: object, format: Format) -> str:
    from evenround.tables.audit import Audit, export, page

    assert isinstance(found, Audit)
    writers = {
        Format.TABLE: page.to_page,
        Format.MARKDOWN: page.to_markdown,
        Format.CSV: export.to_csv,
        Format.JSON: export.to_json,
    }
    return writers[format](found)


def read_pattern_text(name: str) -> str:
    """The text of a pattern, from a file or (``-``) standard input.

    Raises RefusalError (exit 2) for a missing file, a directory, one too large, one that is no
    UTF-8 text, or an empty one.
    """
    data = read_file(name, "FILE", "a text file", LARGEST, stdin=True)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise RefusalError(
            f"FILE: {name} is not UTF-8 text (line {line}); saved as UTF-8 it could be read"
        ) from None
    if not text.strip():
        raise RefusalError(f"FILE: {name} is empty; a written pattern would be right")
    return text
