"""One candidate in full: its short story, drawings, figures, pattern, yarn, warnings."""

from __future__ import annotations

from collections.abc import Iterator

from evenround.solver.candidate import Candidate
from evenround.tables.comparison import score_words
from evenround.tables.pattern import Known, write_pattern
from evenround.tables.pattern.front import measurements, yarn_lines
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import notice_words
from evenround.tables.why.hats import hat_words
from evenround.tables.words import length, number

from .pictures import pictures
from .views import Design, Fact
from .written import one_size


def design(
    plan: Plan,
    candidate: Candidate,
    unit: Unit,
    known: Known,
    *,
    anchor: str,
    title: str,
    praise: str = "",
    pattern: bool = True,
    left_handed: bool = False,
) -> Design:
    """A candidate under a heading of its own; ``pattern`` says whether its rounds are written
    out here, ``left_handed`` which way its drawings go.

    Raises InternalCheckError where the pattern does not count as the tally does.
    """
    written = one_size(write_pattern(plan, candidate, known, unit=unit)) if pattern else None
    warnings = tuple(dict.fromkeys(notice_words(n) for n in candidate.measures.notices))
    short = hat_words(plan, candidate, unit).partition("; but ")[0].split("; ")
    return Design(
        anchor=anchor,
        title=title,
        short=tuple(short[1:]),  # the count is in the title, what to watch below
        praise=praise,
        facts=tuple(_facts(plan, candidate, unit, measured=not pattern)),
        pictures=pictures(plan, candidate, unit, left_handed=left_handed),
        counts=_counts(candidate),
        warnings=warnings,
        pattern=written,
    )


def title_of(candidate: Candidate, unit: Unit, *, name: str = "") -> str:
    """``Candidate 1: 110 stitches, 57.9 cm around``."""
    m = candidate.measures
    what = name or f"Candidate {candidate.rank}"
    return f"{what}: {m.side_count} stitches, {length(m.around_cm, unit)} {unit} around"


def _facts(plan: Plan, candidate: Candidate, unit: Unit, *, measured: bool) -> Iterator[Fact]:
    """The measures, unless a pattern below has them; the yarn; the score."""
    if measured:
        yield Fact("Finished", tuple(measurements(plan, candidate, unit)))
    yield Fact("Yarn", tuple(yarn_lines(candidate.measures.yarn)))
    score = number(candidate.measures.score_mm, 1)
    yield Fact("Score", (f"{score} mm, of which: {score_words(candidate)}",))


def _counts(candidate: Candidate) -> str:
    """Every round's count, runs of even rounds in short: ``8, 16, 24, 84 (rnds 11-18)``."""
    told: list[list[int]] = []
    for place, count in enumerate(candidate.tally.round_counts, 1):
        if told and told[-1][0] == count:
            told[-1][2] = place
        else:
            told.append([count, place, place])
    return ", ".join(
        str(count) if first == last else f"{count} (rnds {first}-{last})"
        for count, first, last in told
    )
