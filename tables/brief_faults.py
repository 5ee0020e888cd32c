"""What is wrong with a brief, one line a fault, all of them in one error.

A line names the field (sections counted from 1), what was found and what would be right.
Turns pydantic's findings into such lines; knows nothing of any one field.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

Path = tuple[str | int, ...]
MOST_LINES = 20
_NOTHING = object()


class BriefError(ValueError):
    """A brief (or flags) that cannot be read; the text is for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Where, and what is to be said of it."""

    path: Path
    text: str


class FaultsError(ValueError):
    """FaultsError found inside one value; their paths are relative to it."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(fault.text for fault in self.faults))


def fault(path: Path, found: object, right: str) -> Fault:
    """A fault saying what was found and what would be right."""
    return Fault(path, f"found {describe(found)}; {right}")


def describe(value: object) -> str:
    """What was found, short enough for one line and free of control characters."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple) and (len(value) > 6 or any(_nested(v) for v in value)):
        return "a list"
    try:
        text = repr(list(value)) if isinstance(value, tuple) else repr(value)
    except ValueError:  # whole numbers too long to be written out
        return "an enormous number"
    if isinstance(value, str) and not value:
        return "nothing"
    return text if len(text) <= 48 else text[:45] + "..."


def _nested(value: object) -> bool:
    return isinstance(value, Mapping | list | tuple)


def nearest(found: str, known: Iterable[str], what: str) -> str:
    """``did you mean ...`` when something is near, else the whole list."""
    names = list(known)
    spelt = {name.lower(): name for name in names}
    close = get_close_matches(found[:40].lower(), spelt, n=1, cutoff=0.6)
    if close:
        return f"did you mean {spelt[close[0]]}?"
    return f"{what}: {', '.join(names)}"


def faults_of(error: ValidationError, model: type[BaseModel], at: Path = ()) -> list[Fault]:
    """Every finding of pydantic about ``model`` as faults, in the order of the brief."""
    out: list[Fault] = []
    for found in error.errors(include_url=False):
        loc: Path = tuple(found["loc"])
        path = at + loc
        inner = found.get("ctx", {}).get("error")
        if isinstance(inner, FaultsError):
            out += [Fault(path + each.path, each.text) for each in inner.faults]
        else:
            # a file of nothing but faults is not looked into further than is shown
            far = len(out) > MOST_LINES
            out.append(Fault(path, "" if far else _text(dict(found), loc, model)))
    return out


def _text(found: dict[str, Any], path: Path, model: type[BaseModel]) -> str:
    kind, value, ctx = found["type"], found.get("input", _NOTHING), found.get("ctx", {})
    if kind == "missing":
        return "missing, and needed"
    if kind == "extra_forbidden":
        hint = nearest(str(path[-1]), field_names(model, path[:-1]), "the keys here are")
        return f"unknown key; {hint}"
    if kind == "value_error":
        return f"found {describe(value)}; {ctx['error']}"
    if kind in {"union_tag_invalid", "union_tag_not_found"}:
        kinds = ctx.get("expected_tags", "'crown', 'even', 'band', 'brim', 'edging'")
        said = f"kind: found {describe(ctx['tag'])}" if "tag" in ctx else "kind: missing"
        return f"{said}; a section's kind is {_or(kinds)}"
    if kind == "literal_error":
        return f"found {describe(value)}; one of {ctx['expected']} would be right"
    words = {
        "bool_type": "true or false would be right",
        "list_type": "a list would be right",
        "dict_type": "a table would be right",
        "model_type": "a table would be right",
        "model_attributes_type": "a table would be right",
        "too_short": "at least one is needed",
        "too_long": "at most 60 would be right",
        "string_type": "a text in quotes would be right",
    }
    return f"found {describe(value)}; {words.get(kind, found['msg'])}"


def _or(tags: str) -> str:
    names = [tag.strip(" '") for tag in tags.split(",")]
    return ", ".join(names[:-1]) + " or " + names[-1]


def field_names(model: type[BaseModel], path: Path) -> list[str]:
    """The keys allowed in the table at ``path`` of ``model``."""
    here: Any = model
    for step in path:
        here = _inside(here, step)
        if here is None:
            return []
    return list(here.model_fields)


def _inside(model: type[BaseModel], step: str | int) -> Any:
    """The model met on going one step down; list positions and section kinds stay or choose."""
    if isinstance(step, int):
        return model
    by_kind = getattr(model, "by_kind", {})
    if step in by_kind:
        return by_kind[step]
    inner = getattr(model, "inner", {})
    return inner.get(step)


def raise_for(
    source: str, faults: Iterable[Fault], kinds: Mapping[int, object], named: Mapping[Path, str]
) -> None:
    """Raise one BriefError with a line for each fault; return quietly when there are none.

    ``kinds`` has the kind of each section (from 0), ``named`` the flag a path came from.
    """
    lines = list(dict.fromkeys(_line(source, each, kinds, named) for each in faults))
    if len(lines) > MOST_LINES:
        lines[MOST_LINES:] = [f"{source}: and {len(lines) - MOST_LINES} more"]
    if lines:
        raise BriefError("\n".join(lines))


def _line(source: str, each: Fault, kinds: Mapping[int, object], named: Mapping[Path, str]) -> str:
    path = _without_kind(each.path)
    for length in range(len(path), 0, -1):
        if path[:length] in named:
            return f"{named[path[:length]]}: {each.text}"
    shown = ".".join(_step(step) for step in path)
    if len(path) > 1 and path[0] == "sections" and isinstance(path[1], int):
        kind = kinds.get(path[1])
        shown += f" ({kind})" if isinstance(kind, str) and kind in _KINDS else ""
    return f"{source}: {shown}: {each.text}" if shown else f"{source}: {each.text}"


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return str(step + 1)
    return step if step.isprintable() and len(step) <= 40 else describe(step)


def _without_kind(path: Path) -> Path:
    """pydantic puts a section's kind into the path; a person would not."""
    if len(path) > 2 and path[0] == "sections" and isinstance(path[1], int):
        return (*path[:2], *path[3:]) if path[2] in _KINDS else path
    return path


_KINDS = ("crown", "even", "band", "brim", "edging")
