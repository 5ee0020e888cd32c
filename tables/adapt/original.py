"""A design as it was found, in a brief or in a written pattern, with the words that go with it."""

from __future__ import annotations

from dataclasses import dataclass

from evenround.solver.adapt_design import Design
from evenround.solver.piece import Gauge
from evenround.tables.audit.rows import Row
from evenround.tables.rounds.pattern import Terms


@dataclass(frozen=True, slots=True)
class Written:
    """What stands behind a design read from a pattern: for every section (nudges aside) its rows
    of the audit, and every row by the number of its round."""

    rows: tuple[tuple[Row, ...], ...]
    every: tuple[Row, ...]
    spiral: bool


@dataclass(frozen=True, slots=True)
class Original:
    """The design to adapt.

    ``widths`` has for every section (nudges aside) the cm of one of its stitches, None where
    nobody said it; ``as_body`` whether it is worked plain in the body's stitch. ``stitches`` has
    the US abbreviation every section is worked in. ``gauge`` is the body's, None where nobody
    said it (``gauge_words`` how it was said); its height is 0 where no rounds were counted.
    ``around_cm`` and ``head_cm`` are as said. ``inferred`` are the lines on what the design does,
    ``unsaid`` on what was not said, ``unread`` on what was not understood; ``complete`` is false
    where part of the pattern is left out of the design. ``notes`` say how the pattern was taken,
    ``numbers`` how it numbers its rounds where that is not 1, 2, 3.
    """

    title: str
    size: str | None
    terms: Terms
    design: Design
    stitches: tuple[str, ...]
    gauge: Gauge | None
    gauge_words: str
    around_cm: float | None
    head_cm: float | None
    inferred: tuple[str, ...]
    unsaid: tuple[str, ...]
    unread: tuple[str, ...]
    complete: bool
    openwork: bool
    widths: tuple[float | None, ...]
    as_body: tuple[bool, ...]
    written: Written | None = None
    numbers: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()

    def own_number(self, at: int) -> int:
        """The pattern's own number of its ``at``-th round (from 1): rounds for other sizes only
        are passed over. New rounds after the last are numbered on."""
        return own_number(self.numbers, at)


def own_number(numbers: tuple[int, ...], at: int) -> int:
    """The ``at``-th of a pattern's numbers, numbered on behind the last; none: ``at`` itself."""
    if not numbers or at < 1:
        return at
    return numbers[at - 1] if at <= len(numbers) else numbers[-1] + at - len(numbers)
