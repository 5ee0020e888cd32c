"""The brief's front door: bytes, flags or an example in; a Brief, and a plan of one size, out.

A Brief has passed every check, so a plan can always be made of it. Whatever is wrong is one
BriefError with a line for each fault. The fields themselves are described in brief_fields.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from pydantic import ValidationError

from evenround.solver.family import Rules

from .brief_checks import faults_in
from .brief_family import assumed_faults, rules_of
from .brief_faults import BriefError, Path, faults_of, raise_for
from .brief_fields import BriefFields
from .brief_flags import Flags, pick_size, raw_from_flags, raw_with_flags
from .brief_piece import make_plan
from .brief_starter import starter_text
from .facts import data_text
from .plan import Plan, Unit

__all__ = [
    "EXAMPLES",
    "Brief",
    "BriefError",
    "Example",
    "Flags",
    "brief_from_flags",
    "example_brief",
    "family_of",
    "plan",
    "read_brief",
    "starter_text",
    "with_flags",
]

Example = Literal["garden", "bucket", "cowl"]
EXAMPLES: tuple[str, ...] = get_args(Example)
LARGEST_BYTES = 1_000_000
# a key of thousands of parts would keep the TOML reader busy for minutes
_PART = r"(?:[A-Za-z0-9_-]+|\"[^\"\n]*\"|'[^'\n]*')"
_DEEP_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:[ \t]*\.[ \t]*{_PART}){{12,}}")
_TOO_DEEP = "found tables nested too deep; a brief has tables in tables, no deeper"


@dataclass(frozen=True)
class Brief:
    """A brief that passed every check.

    ``raw`` is the tables as written (flags included), ``notes`` the sentences about flags.
    """

    source: str
    fields: BriefFields
    raw: Mapping[str, Any]
    notes: tuple[str, ...] = ()

    @property
    def sizes(self) -> tuple[str, ...]:
        """Names of the sizes in order."""
        return tuple(size.name for size in self.fields.every_size())


def read_brief(data: bytes, source: str) -> Brief:
    """Read a TOML brief; ``source`` is the name it is called by in messages.

    BriefError when it is too large (over 1 MB), empty, not UTF-8, not TOML, or not a brief.
    """
    if len(data) > LARGEST_BYTES:
        raise BriefError(
            f"{source}: found {len(data):,} bytes; a brief has at most {LARGEST_BYTES:,}"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BriefError(
            f"{source}: found a byte that is not UTF-8 (byte {error.start + 1}); "
            "save the brief as UTF-8 text"
        ) from None
    if not text.strip():
        raise BriefError(f"{source}: found nothing; a starter brief shows what goes in")
    return validated(_tables(text, source), source, {})


def _tables(text: str, source: str) -> dict[str, Any]:
    if _DEEP_KEY.search(text):
        raise BriefError(f"{source}: {_TOO_DEEP}")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BriefError(f"{source}: {_TOO_DEEP}") from None
    except ValueError as error:  # TOMLDecodeError, and Python's own about endless numbers
        what = re.sub(r"[^\x20-\x7e]", "?", str(error))[:160]
        raise BriefError(f"{source}: not TOML: {what}") from None


def validated(
    raw: Mapping[str, Any], source: str, named: Mapping[Path, str], notes: tuple[str, ...] = ()
) -> Brief:
    """A brief of tables as TOML gives them. ``source`` is what messages call it, ``named`` what
    they call single fields (by path), where that is not the field's own name.

    Raises BriefError, naming every field at fault.
    """
    sections = raw.get("sections")
    listed = sections if isinstance(sections, list) else []
    kinds = {i: s.get("kind") for i, s in enumerate(listed[:60]) if isinstance(s, dict)}
    context = {
        "unit": "in" if raw.get("unit") == "in" else "cm",
        "terms": "uk" if raw.get("terms") == "uk" else "us",
    }
    try:
        fields = BriefFields.model_validate(dict(raw), context=context)
    except ValidationError as error:
        raise_for(source, faults_of(error, BriefFields), kinds, named)
        raise AssertionError("pydantic found fault without saying which") from error
    fields = fields.with_body_stitch().with_ready_heads()
    raise_for(source, faults_in(fields), kinds, named)
    return Brief(source, fields, raw, notes)


def example_brief(name: str) -> Brief:
    """One of the built-in briefs: garden, bucket or cowl."""
    if name not in EXAMPLES:
        raise BriefError(f"--example: found {name!r}; the examples are: {', '.join(EXAMPLES)}")
    return read_brief(data_text(f"{name}.toml").encode(), f"example {name}")


def brief_from_flags(flags: Flags, unit: Unit = "cm") -> Brief:
    """A brief from flags alone: a crown, even rounds, and what the flags ask for besides; bare
    numbers are in ``unit``."""
    edit = raw_from_flags(flags, unit)
    return validated(edit.raw, "flags", edit.named)


def with_flags(brief: Brief, flags: Flags, size: str | None = None) -> tuple[Brief, list[str]]:
    """``brief`` with single fields replaced, and a sentence for each one.

    ``size`` is the one a head or depth is meant for. BriefError when a flag has no place.
    """
    edit = raw_with_flags(dict(brief.raw), brief.fields, flags, size)
    notes = (*brief.notes, *edit.sentences)
    return validated(edit.raw, brief.source, edit.named, notes), edit.sentences


def plan(brief: Brief, size: str | None = None) -> Plan:
    """The plan of one size: the one named, else the first; BriefError lists the sizes."""
    name = brief.sizes[0] if size is None else pick_size(brief.fields, size)
    picked = next(each for each in brief.fields.every_size() if each.name == name)
    made = make_plan(brief.fields, picked, brief.notes)
    if size is not None or len(brief.sizes) == 1:
        return made
    note = f"size {name}: the first of {len(brief.sizes)}; --size picks another"
    return replace(made, notes=(*made.notes, note))


def family_of(brief: Brief) -> tuple[list[Plan], Rules]:
    """The plans of all sizes in the brief's order, and what they keep in common as a family.

    BriefError where yarn is limited and a section's gauge was only assumed.
    """
    plans = [plan(brief, name) for name in brief.sizes]
    kinds = {i: s.kind for i, s in enumerate(brief.fields.sections)}
    raise_for(brief.source, assumed_faults(brief.fields, plans[0].piece), kinds, {})
    return plans, rules_of(brief.fields)
