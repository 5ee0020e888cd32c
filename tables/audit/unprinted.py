"""A pattern without printed counts whose repeats leave stitches over: both chains of counts.

Nothing printed says whether a maker stops inside the repeat or leaves the rest unworked, so both
are worked to the end; a stated size and gauge say which of them suits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import MeasureText, Pattern

from .findings import Finding
from .piece import gauges_of, pieces, shown, stated_gauges
from .rows import Row, Sized
from .run import run
from .settle import figure_of
from .units import unit_of


@dataclass(frozen=True, slots=True)
class Choice:
    """The sizes with the reading taken, and what is said about the other."""

    sized: tuple[Sized, ...]
    findings: tuple[Finding, ...]


def unprinted_choice(pattern: Pattern, sized: Sequence[Sized], unit: Unit | None = None) -> Choice:
    """Take the reading that suits the stated size, where left-overs have no printed count."""
    unit = unit or unit_of(pattern)
    out: list[Sized] = []
    findings: list[Finding] = []
    for one in sized:
        if not any(_open(row) for row in one.rows):
            out.append(one)
            continue
        course = replace(one.course, unprinted="whole")
        whole = Sized(one.size, course, tuple(run(course)))
        taken, finding = _weigh(pattern, one, whole, unit)
        out.append(taken)
        findings.append(finding)
    return Choice(tuple(out), tuple(findings))


def _open(row: Row) -> bool:
    """Whether a left-over may be read two ways; one of a figure is no matter of reading."""
    if row.judged is None or row.given.printed or figure_of(row.steps) is not None:
        return False
    return bool(row.judged.readings) and row.judged.trouble != "end"


def _weigh(pattern: Pattern, part: Sized, whole: Sized, unit: Unit) -> tuple[Sized, Finding]:
    text = (
        f"no count is printed where repeats leave stitches over. Stopping inside the repeat "
        f"gives {_chain(part, part)}; whole repeats only give {_chain(whole, part)}"
    )
    taken = part
    target = stated_size(pattern, part.size, unit)
    gauges = stated_gauges(pattern, unit)
    bodies = [pieces([one]) for one in (part, whole)]
    if target is not None and gauges and all(bodies):
        width = gauges_of(gauges, bodies[0][0].body_stitch)[-1].width
        first, second = (found[0].body_count for found in bodies)
        text += (
            f". At the gauge stated {first} are {shown(first * width, unit)} and {second} are "
            f"{shown(second * width, unit)}"
        )
        misses = [abs(count * width - target.cm) for count in (first, second)]
        if misses[1] < misses[0]:
            taken = whole
        which = "first" if taken is part else "second"
        text += f"; for {target.words} the {which} suits and is taken"
    else:
        text += ". The first is taken"
    return taken, Finding("counts", text, of=() if part.size is None else (part.size,))


def _chain(one: Sized, beside: Sized) -> str:
    """The counts from the first left-over on, each change once."""
    start = next(i for i, row in enumerate(beside.rows) if _open(row))
    counts = [row.after.count for row in one.rows[start:] if row.after is not None]
    changes = [n for i, n in enumerate(counts) if i == 0 or n != counts[i - 1]]
    return ", ".join(map(str, changes))


@dataclass(frozen=True, slots=True)
class Target:
    """A stated size: centimetres, and what it is a size of."""

    cm: float
    words: str
    what: str


def stated_size(pattern: Pattern, size: str | None, unit: Unit) -> Target | None:
    """The circumference stated for a size, else the head; None where none is stated."""
    for what in ("around", "head"):
        for measure in pattern.measures:
            if measure.what == what and (cm := value_of(pattern, measure, size)) is not None:
                length = shown(cm, unit)
                words = f"a head of {length}" if what == "head" else f"the {length} stated"
                return Target(cm, words, what)
    return None


def value_of(pattern: Pattern, measure: MeasureText, size: str | None) -> float | None:
    """A measure's value for a size; the middle of a range stated for one size."""
    values = measure.values_cm
    if not values:
        return None
    if size is None or len(values) != len(pattern.sizes):
        if size is not None and len(values) > 1:
            return None
        return sum(values) / len(values)
    return values[pattern.sizes.index(size)]
