"""Flags for the common case: a brief made from them, or fields of a brief replaced by them.

Works on the brief as it was written (plain tables), so that whatever a flag says goes through
the same door as the file; a fault in it is told under the flag's name.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field, fields
from typing import Any

from .brief_faults import BriefError, Path
from .brief_fields import BriefFields
from .brief_figure import resolve
from .brief_sections import BandFields
from .brief_values import read_repeat
from .facts import stitches, usual_flares

Raw = dict[str, Any]


@dataclass(frozen=True)
class Flags:
    """What was typed after each flag, as typed; None = not given."""

    head: str | None = None
    ease: str | None = None
    gauge: str | None = None
    stitch: str | None = None
    depth: str | None = None
    repeat: str | None = None
    repeat_width: str | None = None
    brim: str | None = None
    flare: str | None = None
    edge_repeat: str | None = None
    tolerance: str | None = None
    sectors: str | None = None

    @property
    def given(self) -> dict[str, str]:
        """Field -> text of the flags that were given, in order."""
        return {f.name: v for f in fields(self) if (v := getattr(self, f.name)) is not None}


@dataclass
class Edit:
    """A brief's tables with flags written into them, where each went, and what it replaced."""

    raw: Raw
    named: dict[Path, str] = field(default_factory=dict)
    sentences: list[str] = field(default_factory=list)


def flag_name(key: str) -> str:
    """``repeat_width`` -> ``--repeat-width``."""
    return "--" + key.replace("_", "-")


def raw_from_flags(flags: Flags, unit: str = "cm") -> Edit:
    """A brief from flags alone: crown, even rounds, then a band, a brim, an edging if asked for.

    ``unit`` is that of bare numbers.
    """
    said = flags.given
    _refuse(_missing(said))
    sections: list[Raw] = [{"kind": "crown"}, {"kind": "even"}]
    raw: Raw = {"title": "a hat from flags", "unit": unit, "sections": sections}
    edit = Edit(raw)
    for key in ("head", "ease", "depth", "stitch"):
        _put(edit, said, key, raw, key, (key,))
    _put(
        edit, said, "tolerance", raw.setdefault("tolerances", {}), "circumference", ("tolerances",)
    )
    raw["gauge"] = {_body(said, "us", "hdc"): said["gauge"]}
    edit.named[("gauge",)] = flag_name("gauge")
    _put(edit, said, "sectors", sections[0], "sectors", ("sections", 0))
    if "repeat" in said:
        _add(edit, said, "band", {"repeat": "repeat", "repeat_width": "repeat_width"})
    if "brim" in said:
        _add(edit, said, "brim", {"brim": "width", "flare": "flare"})
    if "edge_repeat" in said:
        _add(edit, said, "edging", {"edge_repeat": "repeat"})
    return edit


def _body(said: dict[str, str], terms: str, otherwise: str) -> str:
    """The stitch a gauge flag is for; a wrong --stitch is told of by itself."""
    stitch = said.get("stitch", otherwise).strip().lower()
    return stitch if stitch in stitches(terms) else otherwise


def _missing(said: dict[str, str]) -> list[str]:
    """What flags without a brief cannot do without, or cannot say alone."""
    out = []
    if "head" not in said:
        out.append("--head: missing, and needed without a brief; such as --head 56cm")
    if "gauge" not in said:
        out.append('--gauge: missing, and needed without a brief; such as "16 x 12 / 10cm"')
    if "flare" in said and "brim" not in said:
        out.append("--flare: found a flare without width; say how wide the brim is with --brim")
    if "brim" in said and "flare" not in said:
        out.append(f"--brim: found no --flare with it; degrees, usually: {usual_flares()}")
    if "repeat_width" in said and "repeat" not in said:
        out.append("--repeat-width: found no --repeat that it could be the width of")
    return out


def _put(edit: Edit, said: dict[str, str], key: str, table: Raw, to: str, path: Path) -> None:
    if key in said:
        table[to] = said[key]
        edit.named[path if path[-1] == to else (*path, to)] = flag_name(key)


def _add(edit: Edit, said: dict[str, str], kind: str, keys: dict[str, str]) -> None:
    section: Raw = {"kind": kind}
    at: Path = ("sections", len(edit.raw["sections"]))
    edit.raw["sections"].append(section)
    for key, to in keys.items():
        _put(edit, said, key, section, to, at)


def _refuse(lines: list[str]) -> None:
    if lines:
        raise BriefError("\n".join(lines))


def raw_with_flags(raw: Raw, brief: BriefFields, flags: Flags, size: str | None) -> Edit:
    """``raw`` with the flags' fields replaced; BriefError for what cannot be met.

    ``brief`` is the same brief validated; ``size`` the one a head or depth is meant for.
    """
    said = flags.given
    if size is not None:
        pick_size(brief, size)
    replacer = _Replacer(Edit(deepcopy(raw)), brief, size, said)
    lines = []
    for key in _ORDER:
        if key in said:
            try:
                replacer.replace(key, said[key])
            except BriefError as error:
                lines.append(f"{flag_name(key)}: {error}")
    _refuse(lines)
    return replacer.edit


_ORDER = (
    "head",
    "ease",
    "depth",
    "stitch",
    "gauge",
    "tolerance",
    "sectors",
    "repeat",
    "repeat_width",
    "brim",
    "flare",
    "edge_repeat",
)
_NOT_SAID = "nothing said before"


class _Replacer:
    """Writes one flag after another into the tables of a brief."""

    def __init__(self, edit: Edit, brief: BriefFields, size: str | None, said: dict[str, str]):
        self.edit, self.raw, self.brief, self.size, self.said = edit, edit.raw, brief, size, said

    def replace(self, key: str, text: str) -> None:
        """One flag; BriefError (without the flag's name) when there is no place for it."""
        special: dict[str, Callable[[str], None]] = {
            "head": self._head,
            "ease": self._ease,
            "depth": self._depth,
            "gauge": self._gauge,
            "repeat": self._repeat,
            "brim": lambda t: self._brim("brim", "width", t),
            "flare": lambda t: self._brim("flare", "flare", t),
        }
        if key in special:
            special[key](text)
        elif key == "stitch":
            self._set(key, self.raw, "stitch", (), text)
        elif key == "tolerance":
            table = self.raw.setdefault("tolerances", {})
            self._set(key, table, "circumference", ("tolerances",), text)
        else:
            kind, to = {
                "sectors": ("crown", "sectors"),
                "repeat_width": ("band", "repeat_width"),
                "edge_repeat": ("edging", "repeat"),
            }[key]
            at, table = self._only(kind)
            if key == "edge_repeat":
                self._drop_figure(key, at, table, text)
            self._set(key, table, to, at, text)

    def _set(self, key: str, table: Raw, to: str, at: Path, text: str) -> None:
        before = table.get(to, _NOT_SAID)
        where = f"{self._where(at)}{to}"
        table[to] = text
        self.edit.named[(*at, to)] = flag_name(key)
        if before is _NOT_SAID:
            self.edit.sentences.append(
                f"{flag_name(key)} {text} says {where}, which the brief left open"
            )
        else:
            self.edit.sentences.append(f"{flag_name(key)} {text} replaces {where} {_shown(before)}")

    def _where(self, at: Path) -> str:
        if not at or at[0] in {"tolerances", "gauge"}:
            return f"{at[0]} " if at else ""
        table = self.raw[str(at[0])][at[1]]
        return f"{table.get('name', table.get('kind', ''))} "

    def _only(self, kind: str) -> tuple[Path, Raw]:
        """The one section of a kind; BriefError when there is none, or there are several."""
        found = [(i, s) for i, s in enumerate(self.raw["sections"]) if s["kind"] == kind]
        if not found:
            raise BriefError(f"the brief has no {kind}")
        if len(found) > 1:
            raise BriefError(
                f"the brief has {len(found)} {kind}s; change the one meant in the file"
            )
        return ("sections", found[0][0]), found[0][1]

    def _one_size(self) -> tuple[Path, Raw]:
        """Where the size meant is said: the top of the brief when it lists none."""
        sizes = self.raw.get("sizes") or []
        if not sizes:
            return (), self.raw
        i = 0
        if self.size is not None:
            i = self._index(self.size)
        elif len(sizes) > 1:
            names = ", ".join(s.name for s in self.brief.sizes)
            raise BriefError(
                f"the brief has several sizes; say with --size which is meant: {names}"
            )
        if isinstance(sizes[i], str):  # a ready size gets a table of its own to be changed in
            sizes[i] = {"name": sizes[i]}
        return ("sizes", i), sizes[i]

    def _index(self, wanted: str) -> int:
        return [size.name for size in self.brief.sizes].index(pick_size(self.brief, wanted))

    def _needs_head(self) -> None:
        if all(size.head is None for size in self.brief.every_size()):
            raise BriefError("the brief states a circumference, not a head")

    def _head(self, text: str) -> None:
        self._needs_head()
        at, table = self._one_size()
        self._set("head", table, "head", at, text)

    def _ease(self, text: str) -> None:
        self._needs_head()
        self._everywhere("ease", "ease", text)

    def _depth(self, text: str) -> None:
        if not any(size.depth is not None for size in self.brief.sizes):
            self._set("depth", self.raw, "depth", (), text)
            return
        at, table = self._one_size()
        self._set("depth", table, "depth", at, text)

    def _everywhere(self, key: str, to: str, text: str) -> None:
        """At the top, and out of every size."""
        own = self._sizes_with(to)
        for size in own:
            del size[to]
        self._set(key, self.raw, to, (), text)
        if own:
            self.edit.sentences[-1] = f"{flag_name(key)} {text} replaces {to} in every size"

    def _sizes_with(self, key: str) -> list[Raw]:
        """The sizes' tables that say it; a ready size, a name alone, says nothing."""
        sizes = self.raw.get("sizes") or []
        return [size for size in sizes if isinstance(size, dict) and key in size]

    def _gauge(self, text: str) -> None:
        terms = self.brief.terms
        names = {us: name for name, us in stitches(terms).items()}
        body = _body(self.said, terms, names[self.brief.stitch])
        table = self.raw.setdefault("gauge", {})
        self._set("gauge", table, body, ("gauge",), text)

    def _brim(self, key: str, to: str, text: str) -> None:
        at, table = self._only("brim")
        if key == "flare" and "fullness" in table:
            raise BriefError("the brief's brim says a fullness; they exclude one another")
        own = self._sizes_with(f"brim_{to}")
        for size in own:
            del size[f"brim_{to}"]
        self._set(key, table, to, at, text)
        if own:
            self.edit.sentences[-1] = (
                f"{flag_name(key)} {text} replaces the brim's {to} in every size"
            )

    def _repeat(self, text: str) -> None:
        at, table = self._only("band")
        self._drop_figure("repeat", at, table, text)
        self._set("repeat", table, "repeat", at, text)

    def _drop_figure(self, key: str, at: Path, table: Raw, text: str) -> None:
        """A figure that takes another repeat goes, with what was measured on it."""
        old = self.brief.sections[int(at[1])]
        assert isinstance(old, BandFields) or old.kind == "edging"
        figure = resolve(old).figure
        try:
            new = read_repeat(text)
        except ValueError:
            return  # said again, with the flag's name, when the whole is validated
        if (new.stitches, int(new.give)) == (figure.counts[0], figure.give[0]):
            return
        gone = [k for k in _OF_A_FIGURE if table.pop(k, None) is not None]
        if not new.give and table.pop("give", None) is not None:
            gone.append("give")
        if table.get("repeat") is None:
            table["repeat"] = str(figure.counts[0]) + ("+t" if figure.give[0] else "")
        if gone:
            owner = self._where(at).strip()
            self.edit.sentences.append(
                f"{flag_name(key)} {text} is another figure: {owner} lost its {', '.join(gone)}"
            )


_OF_A_FIGURE = (
    "figure",
    "work",
    "counts",
    "leaves",
    "remainder",
    "measured_repeat",
    "measured_give",
    "measured_height",
)


def pick_size(brief: BriefFields, wanted: str) -> str:
    """The brief's own spelling of a size; BriefError listing the sizes if it is none."""
    names = [size.name for size in brief.every_size()]
    for name in names:
        if name.casefold() == wanted.strip().casefold():
            return name
    raise BriefError(f"--size: found {wanted!r}; the sizes are: {', '.join(names)}")


def _shown(value: object) -> str:
    return str(value) if isinstance(value, str | int | float) else "as it was"
