"""What the templates are given: plain frozen data, every text as a person reads it.

No text here is markup but a picture's: the templates escape all the others.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and the lines that belong to it."""

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell's short lines; ``sort`` is what its column is sorted by, None sorts last."""

    lines: tuple[str, ...]
    sort: float | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A row of a table: its heading, the anchor that leads to it, its cells."""

    name: str
    cells: tuple[Cell, ...]
    target: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """``corner`` heads the rows' own headings; ``headings`` the columns."""

    caption: str
    corner: str
    headings: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG, which says in words what it shows, its caption, and which drawing it is."""

    svg: str
    caption: str
    kind: str


@dataclass(frozen=True, slots=True)
class Round:
    """One line of a pattern, with what is said before and after it."""

    label: str
    said: str
    count: str
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the piece: what is said before its rounds, the rounds, what is said after."""

    title: str
    before: tuple[str, ...]
    rounds: tuple[Round, ...]
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pattern:
    """A whole pattern."""

    title: str
    front: tuple[Fact, ...]
    parts: tuple[Part, ...]
    back: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Design:
    """One candidate in full; no pattern where one is written for all sizes together."""

    anchor: str
    title: str
    short: tuple[str, ...]
    praise: str
    facts: tuple[Fact, ...]
    pictures: tuple[Picture, ...]
    counts: str
    warnings: tuple[str, ...]
    pattern: Pattern | None


@dataclass(frozen=True, slots=True)
class Stuck:
    """Why nothing fits: sentences, and the ways out as a table."""

    sentences: tuple[str, ...]
    ways: Table | None


@dataclass(frozen=True, slots=True)
class Size:
    """One size: its comparison, near misses and designs; or why there is none."""

    anchor: str
    name: str
    status: str
    compared: Table | None
    legend: tuple[str, ...]
    near: Table | None
    near_none: str
    designs: tuple[Design, ...]
    stuck: Stuck | None


@dataclass(frozen=True, slots=True)
class Kin:
    """One family of sizes: what is said of it, and its sizes side by side."""

    anchor: str
    title: str
    sentences: tuple[str, ...]
    table: Table


@dataclass(frozen=True, slots=True)
class Page:
    """The whole page. ``beside`` has several sizes side by side, ``kin`` the families."""

    title: str
    language: str
    subtitle: str
    asked: tuple[Fact, ...]
    status: str
    cautions: tuple[str, ...]
    beside: Table | None
    kin: tuple[Kin, ...]
    kin_none: tuple[str, ...]
    sizes: tuple[Size, ...]
    all_sizes: Pattern | None
    remarks: tuple[Fact, ...]
    source: str
    picture_style: str
