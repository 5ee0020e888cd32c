"""Options that several commands have, each with its name, its help and its check once.

``Annotated`` names are what a command's parameters are typed with; typer reads them at run time.
"""

from __future__ import annotations

from enum import StrEnum
from math import isfinite
from typing import Annotated

import typer

from .errors import RefusalError

MOST = 1000
"""The longest list, and the highest rank."""
LONGEST = 3600.0
"""Seconds a proof may take."""


class Format(StrEnum):
    """What a result is written as."""

    TABLE = "table"
    MARKDOWN = "markdown"
    CSV = "csv"
    JSON = "json"


class SheetFormat(StrEnum):
    """What a result with tables of its own is written as: all of those, or a workbook."""

    TABLE = "table"
    MARKDOWN = "markdown"
    CSV = "csv"
    JSON = "json"
    XLSX = "xlsx"


class Units(StrEnum):
    """Units lengths are shown in."""

    CM = "cm"
    IN = "in"


class Terms(StrEnum):
    """US or UK terms."""

    US = "us"
    UK = "uk"


MACHINE = ("csv", "json")
"""Formats whose stdout holds nothing but data; words about it go to stderr."""


def flag(text: str, metavar: str) -> typer.models.OptionInfo:
    """An option that is nothing unless given."""
    option: typer.models.OptionInfo = typer.Option(metavar=metavar, help=text, show_default=False)
    return option


BriefName = Annotated[
    str | None, typer.Argument(metavar="BRIEF", help="A brief (TOML).", show_default=False)
]
ExampleName = Annotated[
    str | None, flag("A built-in brief instead; bare: garden.", "[garden|bucket|cowl]")
]
OutFile = Annotated[str | None, flag("Write there, not to the terminal.", "FILE")]
Force = Annotated[bool, typer.Option("--force", help="Write over an existing file.")]
Seconds = Annotated[float, typer.Option(metavar="S", help="Seconds to prove it in.")]
NoShift = Annotated[
    bool, typer.Option("--no-shift", help="Increases in line, one above the other.")
]
LeftHanded = Annotated[
    bool, typer.Option("--left-handed", help="Crown and charts as a left hand works them.")
]
Meant = Annotated[
    Units | None,
    typer.Option(help="Show lengths in these; flags alone mean them too.", show_default=False),
]
ShownIn = Annotated[Units | None, flag("Show lengths in these; default: the brief's.", "[cm|in]")]

# what flags say of a piece, in the place of a brief or of its fields
Head = Annotated[str | None, flag("Head circumference.", "LENGTH")]
Ease = Annotated[str | None, flag("Finished size minus head; -1in is snug.", "LENGTH")]
GaugeText = Annotated[str | None, flag("Such as '19 x 15 / 10cm'.", "GAUGE")]
StitchName = Annotated[str | None, flag("The stitch of the body.", "NAME")]
Depth = Annotated[str | None, flag("Middle of the crown to the brim.", "LENGTH")]
Repeat = Annotated[str | None, flag("The band's multiple.", "N")]
RepeatWidth = Annotated[str | None, flag("Wished width of a repeat.", "LENGTH")]
BrimWidth = Annotated[str | None, flag("Width of the brim.", "LENGTH")]
Flare = Annotated[str | None, flag("Degrees from straight down.", "DEGREES")]
EdgeRepeat = Annotated[str | None, flag("The edging's multiple.", "N")]
Tolerance = Annotated[str | None, flag("Give or take, around the head.", "LENGTH")]
Sectors = Annotated[str | None, flag("Wished sectors of the crown.", "N")]


def plain(format: Format) -> str:
    """What ``hand_over`` is told of a table without headings of its own."""
    return "text" if format is Format.TABLE else format.value


def stitch_of(said: str, terms: str) -> str:
    """A stitch's US abbreviation, from ``--stitch`` in these terms ("us", "uk"); RefusalError
    (exit 2) for what is none."""
    from evenround.tables.facts import stitches

    known = stitches(terms)
    if said.strip().lower() not in known:
        right = f"a stitch is one of {', '.join(known)} ({terms.upper()} terms)"
        raise RefusalError(f"--stitch: found {said[:40]!r}; {right}")
    return known[said.strip().lower()]


def check_pick(pick: int) -> None:
    """Refuse a candidate's rank that is none (exit 2)."""
    if not 1 <= pick <= MOST:
        best = "1 is the best candidate's"
        raise RefusalError(f"--pick: {pick} is not a rank; {best}, and {MOST} the last looked at")


def check_detail(detail: int | None, most: int, format: str, what: str) -> None:
    """Refuse a rank to tell round by round that is none, or in a format of data (exit 2);
    ``what`` has ranks: "candidate", "family"."""
    if detail is None:
        return
    if not 1 <= detail <= most:
        best = f"1 is the best {what}'s"
        raise RefusalError(f"--detail: {detail} is not a rank; {best}, and {most} the last")
    if format in (*MACHINE, "xlsx"):
        raise RefusalError(
            f"--detail: words do not go with --format {format}; table or markdown would be right "
            "(the JSON has every round's count in any case)"
        )


def check_seconds(time_limit: float) -> None:
    """Refuse a time limit that is none (exit 2)."""
    if not isfinite(time_limit) or not 0 < time_limit <= LONGEST:
        raise RefusalError(
            f"--time-limit: {time_limit:g} is not over 0 and up to {LONGEST:g} seconds"
        )
