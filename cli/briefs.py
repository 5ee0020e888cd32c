"""Which brief a command works on: a file, an example, or flags alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from .arguments import EXAMPLES
from .errors import RefusalError
from .files import read_input

if TYPE_CHECKING:
    from evenround.tables.brief import Brief, Flags
    from evenround.tables.plan import Plan, Unit

NOTHING = (
    "BRIEF: nothing to work on; name a brief (a TOML file), or try `--example`, or give at least "
    "--head and --gauge; `evenround sample` writes a brief to start from"
)


def check_source(brief: str | None, example: str | None, *, flags: bool) -> None:
    """Exactly one source; flags may stand alone or change fields of the other two."""
    if brief is not None and example is not None:
        raise RefusalError(f"BRIEF: {brief} and --example {example}: only one of them would do")
    if example is not None and example not in EXAMPLES:
        raise RefusalError(f"--example: {example!r} is none; garden, bucket or cowl would be right")
    if brief is None and example is None and not flags:
        raise RefusalError(NOTHING)


def loaded(brief: str | None, example: str | None) -> Brief:
    """The brief of a file, or a built-in one; RefusalError (exit 2) for what is wrong with it."""
    return with_text(brief, example)[0]


def with_text(brief: str | None, example: str | None) -> tuple[Brief, str]:
    """The brief, and its text as it was written."""
    from evenround.tables.brief import BriefError, example_brief, read_brief
    from evenround.tables.facts import data_text

    try:
        if brief is not None:
            data = read_input(brief)
            return read_brief(data, brief), data.decode("utf-8-sig")
        return example_brief(example or ""), data_text(f"{example}.toml")
    except BriefError as error:
        raise RefusalError(str(error)) from None


def planned(
    brief: str | None,
    example: str | None,
    texts: Mapping[str, str | None],
    size: str | None,
    units: Unit | None = None,
) -> Plan:
    """One size of the brief, ready for the solver, with notes on what the flags replaced.

    ``units`` are those of bare numbers where there are only flags. ``texts`` has every flag of
    the common case as typed, None where not given. Raises RefusalError (exit 2) for whatever is
    wrong.
    """
    from evenround.tables.brief import BriefError, Flags, plan

    flags = Flags(**texts)
    check_source(brief, example, flags=bool(flags.given))
    try:
        found, replaced = _load(brief, example, flags, size, units or "cm")
        made = plan(found, size)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    new = tuple(note for note in replaced if note not in made.notes)
    return replace(made, notes=made.notes + new)


def _load(
    brief: str | None, example: str | None, flags: Flags, size: str | None, units: Unit
) -> tuple[Brief, list[str]]:
    """The brief with flags put in, and sentences on what they replaced."""
    from evenround.tables.brief import brief_from_flags, with_flags

    if brief is None and example is None:
        return brief_from_flags(flags, units), []
    found = loaded(brief, example)
    return with_flags(found, flags, size) if flags.given else (found, [])
