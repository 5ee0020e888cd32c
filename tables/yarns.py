"""Yarns with what their swatches measure, from a file of a row for each yarn and stitch.

| column | what stands there |
| --- | --- |
| name | the yarn; rows of one name are one yarn |
| stitch | the stitch swatched, in the brief's terms; or a section of the brief, for its swatch |
| stitches, rounds | counted over `over`; rounds may be left out, the height is then assumed |
| over | 10cm or 4in: never left out, labels mix the two up |
| hook | as you call it; only shown |
| ball_grams, ball_metres | of one ball |
| swatch_grams, swatch_area | of a weighed swatch of that stitch, `10cm x 10cm` or `100cm2` |

Columns may stand in any order; case and spaces do not matter. Only name, stitch, stitches and
over are needed. A bad row is a fault with its line and column; the others go on.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from .facts import stitches
from .gauges import StatedGauge
from .yarns_cells import CellError, area, count, grams, metres, over, shown
from .yarns_sheet import Line, YarnsError, lines_of

__all__ = ["COLUMNS", "Weighed", "Yarn", "Yarns", "YarnsError", "read_yarns"]

NEEDED = ("name", "stitch", "stitches", "over")
COLUMNS = (
    "name",
    "stitch",
    "stitches",
    "rounds",
    "over",
    "hook",
    "ball_grams",
    "ball_metres",
    "swatch_grams",
    "swatch_area",
)
OTHER_SPELLINGS = {"ballmeters": "ball_metres"}
MOST_YARNS = 100_000
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighed swatch: grams and its area in cm2."""

    grams: float
    area_cm2: float


@dataclass(frozen=True)
class Yarn:
    """One yarn: gauges by stitch (US), weighed swatches by stitch or section, hooks, its ball."""

    name: str
    line: int
    gauges: Mapping[str, StatedGauge]
    swatches: Mapping[str, Weighed]
    hooks: tuple[str, ...] = ()
    ball_grams: float | None = None
    ball_metres: float | None = None


@dataclass(frozen=True)
class Yarns:
    """Yarns in the order of the file; ``faults`` are sentences on bad rows, ``notes`` on what
    was not looked at."""

    yarns: tuple[Yarn, ...]
    faults: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass
class _Growing:
    """A yarn while its rows are read."""

    name: str
    line: int
    gauges: dict[str, StatedGauge] = field(default_factory=dict)
    swatches: dict[str, Weighed] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    hooks: dict[str, None] = field(default_factory=dict)
    ball: dict[str, float] = field(default_factory=dict)


def read_yarns(data: bytes, source: str, terms: str, sections: Collection[str] = ()) -> Yarns:
    """Read a file of yarns; ``sections`` are names a row may have in place of a stitch.

    YarnsError where the file as a whole cannot be used: no table, a needed column missing, a
    column twice, or no usable row.
    """
    heading, *rows = lines_of(data, source, lambda cells: set(NEEDED) <= set(map(_column, cells)))
    columns, notes = _columns(heading, source)
    reader = _Reader(columns, len(heading.cells), terms, sections)
    faults = []
    for line in rows:
        try:
            reader.take(line)
        except CellError as error:
            faults.append(f"{source}: line {line.number}: {error}")
    yarns = reader.finished()
    if not yarns:
        last = "; no row can be used" if faults else "; below the heading a row for each is needed"
        raise YarnsError("\n".join([*faults[:20], f"{source}: found no yarn{last}"]))
    return Yarns(yarns, tuple(faults), tuple(notes))


def _column(cell: str) -> str:
    """A heading's cell as the name of a column; what it is none of stays as it is."""
    plain = "".join(c for c in cell.casefold() if c.isalnum())
    known = {name.replace("_", ""): name for name in COLUMNS} | OTHER_SPELLINGS
    return known.get(plain, cell)


def _columns(heading: Line, source: str) -> tuple[dict[str, int], list[str]]:
    """Where each column stands, and notes on those that are not looked at."""
    places: dict[str, int] = {}
    notes = []
    for i, cell in enumerate(heading.cells):
        name = _column(cell)
        if name not in COLUMNS:
            if cell:
                close = get_close_matches(cell.casefold()[:40], COLUMNS, n=1, cutoff=0.7)
                hint = f"; did you mean {close[0]}?" if close else ""
                notes.append(f"column {shown(cell)} is not looked at{hint}")
            continue
        if name in places:
            raise YarnsError(
                f"{source}: line {heading.number}: found the column {name} twice (columns "
                f"{places[name] + 1} and {i + 1}); one would be right"
            )
        places[name] = i
    missing = [name for name in NEEDED if name not in places]
    if missing:
        found = ", ".join(shown(c) for c in heading.cells[:12] if c) or heading.fault or "nothing"
        raise YarnsError(
            f"{source}: line {heading.number}: found no column {' or '.join(missing)}; a heading "
            f"names the columns ({', '.join(COLUMNS)}); found {found}"
        )
    return places, notes


class _Reader:
    """Rows into yarns; a row with a fault leaves nothing behind."""

    def __init__(
        self, columns: Mapping[str, int], width: int, terms: str, sections: Collection[str]
    ) -> None:
        self.columns, self.width = columns, width
        self.known, self.terms = stitches(terms), terms
        self.sections = {name.casefold(): name for name in sections}
        self._yarns: dict[str, _Growing] = {}

    def finished(self) -> tuple[Yarn, ...]:
        """The yarns that have a gauge; one of swatches alone is none."""
        return tuple(
            Yarn(
                y.name,
                y.line,
                y.gauges,
                y.swatches,
                tuple(y.hooks),
                y.ball.get("ball_grams"),
                y.ball.get("ball_metres"),
            )
            for y in self._yarns.values()
            if y.gauges
        )

    def take(self, line: Line) -> None:
        """Add one row. CellError says what is wrong with it."""
        if line.fault is not None:
            raise CellError(line.fault)
        if any(line.cells[self.width :]):
            raise CellError(
                f"found {len(line.cells)} cells where the heading has {self.width}; a comma inside "
                "a number or name wants quotation marks around it"
            )
        name = self._name(line)
        key = " ".join(name.casefold().split())
        yarn = self._yarns.get(key) or _Growing(name, line.number)
        stitch = self._stitch(line)
        if stitch in yarn.lines:
            raise CellError(
                f"stitch: found {shown(self._cell(line, 'stitch'))} a second time for "
                f"{shown(name)} (also line {yarn.lines[stitch]}); one row a yarn and stitch"
            )
        gauge = self._gauge(line, needed=stitch in self.known.values())
        weighed = self._weighed(line)
        ball = self._ball(line, yarn)
        if gauge is None and weighed is None:
            raise CellError("swatch_grams: found nothing; a section's row is there for its swatch")
        if gauge is not None:
            yarn.gauges[stitch] = gauge
        if weighed is not None:
            yarn.swatches[stitch] = weighed
        yarn.ball.update(ball)
        yarn.lines[stitch] = line.number
        if hook := self._cell(line, "hook"):
            yarn.hooks.setdefault(hook[:LONGEST_NAME])
        if len(self._yarns) >= MOST_YARNS:
            raise CellError(f"more than {MOST_YARNS:,} yarns; the first ones are read")
        self._yarns[key] = yarn

    def _cell(self, line: Line, column: str) -> str:
        place = self.columns.get(column)
        return line.cells[place] if place is not None and place < len(line.cells) else ""

    def _name(self, line: Line) -> str:
        name = " ".join(self._cell(line, "name").split())
        if not name:
            raise CellError("name: found nothing; the yarn's name would be right")
        if len(name) > LONGEST_NAME or not name.isprintable():
            right = f"one line of text, at most {LONGEST_NAME} characters, would be right"
            raise CellError(f"name: found {shown(name)}; {right}")
        return name

    def _stitch(self, line: Line) -> str:
        """The stitch's US abbreviation, or a section's name."""
        said = self._cell(line, "stitch")
        if said.casefold() in self.known:
            return self.known[said.casefold()]
        if said.casefold() in self.sections:
            return self.sections[said.casefold()]
        right = f"a stitch is one of {', '.join(self.known)} ({self.terms.upper()} terms)"
        if self.sections:
            right += f", or a section: {', '.join(self.sections.values())}"
        raise CellError(f"stitch: found {shown(said)}; {right}")

    def _gauge(self, line: Line, *, needed: bool) -> StatedGauge | None:
        """The row's gauge; a section's row has none of its own."""
        if not needed:
            for column in ("stitches", "rounds"):
                if said := self._cell(line, column):
                    raise CellError(
                        f"{column}: found {shown(said)}; a section's row has a swatch only, its "
                        "stitch has a row of its own"
                    )
            return None
        many = count("stitches", self._cell(line, "stitches"))
        rounds = self._cell(line, "rounds")
        high = count("rounds", rounds) if rounds else None
        return StatedGauge(many, high, over(self._cell(line, "over")))

    def _weighed(self, line: Line) -> Weighed | None:
        weight, size = self._cell(line, "swatch_grams"), self._cell(line, "swatch_area")
        if not weight and not size:
            return None
        if not weight or not size:
            missing = "swatch_grams" if size else "swatch_area"
            raise CellError(f"{missing}: found nothing; a weighed swatch has grams and an area")
        return Weighed(grams("swatch_grams", weight), area(size))

    def _ball(self, line: Line, yarn: _Growing) -> dict[str, float]:
        found = {}
        for column, read in (("ball_grams", grams), ("ball_metres", metres)):
            said = self._cell(line, column)
            if not said:
                continue
            found[column] = read(column, said)
            before = yarn.ball.get(column)
            if before is not None and before != found[column]:
                raise CellError(
                    f"{column}: found {shown(said)}, but {before:g} in an earlier row of "
                    f"{shown(yarn.name)}; a yarn has one kind of ball"
                )
        return found
