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

    ``stitches`` has the US abbreviation every section is worked in. ``gauge`` is the body's, None
    where nobody said it (``gauge_words`` how it was said); its height is 0 where no rounds were
    counted. ``around_cm`` and ``head_cm`` are as said. ``inferred`` are the lines on what the
    design does, ``unsaid`` on what was not said, ``unread`` on what was not understood;
    ``complete`` is false where part of the pattern is left out of the design.
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
    written: Written | None = None
