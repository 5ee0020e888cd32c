"""A brief as a document that keeps its comments, with a way out written into it.

tomlkit is imported late: only --apply needs it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from evenround.solver.exists import can_be_made
from evenround.solver.recount import InternalCheckError
from evenround.tables.brief import Brief, Flags, plan, read_brief
from evenround.tables.brief_flags import raw_with_flags

from .edits import edit
from .promised import Way, best_of

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

CHANGED = "the changed brief"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a brief comes from: its text (None for flags alone), ``before`` as that was read,
    the flags that then changed it for ``size``, and ``brief``, with them."""

    text: str | None
    before: Brief
    flags: Flags
    size: str | None
    brief: Brief


def applied(source: Source, way: Way) -> str:
    """The brief's text with a way out written into it, its comments kept.

    InternalCheckError where that text, read and solved again, is not the hat that was shown.
    """
    document = _document(source)
    edit(document, way.changes, way.how)
    text = _written(document)
    _check(text, way)
    return text


def still_stuck(text: str) -> list[str]:
    """The sizes of a changed brief that cannot be made: what helps one may stand in another's
    way."""
    brief = read_brief(text.encode(), CHANGED)
    return [size for size in brief.sizes if not can_be_made(plan(brief, size).piece)]


def _document(source: Source) -> TOMLDocument:
    """The document with the flags in it; written out from the tables where there is no text, or
    one that tomlkit reads in another way than Python does."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if source.text is None:
        return _from_tables(source.brief.raw)
    try:
        document = tomlkit.parse(source.text)
    except TOMLKitError:
        return _from_tables(source.brief.raw)
    if document.unwrap() != source.before.raw:
        return _from_tables(source.brief.raw)
    if source.flags.given:
        said = raw_with_flags(document, source.before.fields, source.flags, source.size)
        assert isinstance(said.raw, tomlkit.TOMLDocument)
        return said.raw
    return document


def _from_tables(raw: Mapping[str, Any]) -> TOMLDocument:
    import tomlkit

    return tomlkit.parse(tomlkit.dumps(dict(raw)))


def _written(document: TOMLDocument) -> str:
    import tomlkit

    text = tomlkit.dumps(document)
    return text if text.endswith("\n") else f"{text}\n"


def _check(text: str, way: Way) -> None:
    """The text gives exactly the hat promised."""
    changed = plan(read_brief(text.encode(), CHANGED), way.plan.size)
    best = best_of(changed.piece)
    if best is None or best.tally != way.candidate.tally:
        raise InternalCheckError("the changed brief does not give the hat that was shown")
