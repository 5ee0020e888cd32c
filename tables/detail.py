"""One candidate round by round: counts, what each round does, how wide the work is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from evenround.solver.candidate import Candidate
from evenround.solver.piece import Brim, Crown, Piece
from evenround.solver.tally import SectionTally

from .layout import Column, lay_out, paragraph
from .plan import Plan, Unit
from .words import clean, length, own_stitch, plural, round_words, times


@dataclass(frozen=True, slots=True)
class Line:
    """One round, or a run of equal ones: first and last number, count, words, widths in cm.

    ``across_cm`` is a disc's width, None below the crown; ``around_cm`` is None inside a figure,
    where places are no measure of width.
    """

    section: str
    first: int
    last: int
    count: int
    words: str
    around_cm: float | None
    across_cm: float | None

    @property
    def numbers(self) -> str:
        """``14``, ``15-22``; nothing for a heading, whose numbers are 0."""
        if self.first == self.last:
            return str(self.first or "")
        return f"{self.first}-{self.last}"


def detail(plan: Plan, candidate: Candidate, unit: Unit) -> str:
    """The tally round by round at 80 columns, even rounds folded."""
    lines = list(_with_headings(plan, candidate))
    columns = [
        Column(("rnd",), tuple((line.numbers,) for line in lines)),
        Column(("what it does",), tuple((line.words,) for line in lines)),
        Column(("sts",), tuple((str(line.count or ""),) for line in lines)),
        Column(("around", unit), tuple(_cell(line.around_cm, unit) for line in lines)),
    ]
    if any(line.across_cm is not None for line in lines):
        across = tuple(_cell(line.across_cm, unit) for line in lines)
        columns.append(Column(("across", unit), across))
    title = f"Candidate {candidate.rank}, round by round:"
    return "\n".join([title, lay_out(columns), *_measure_lines(plan, candidate, unit)])


def _with_headings(plan: Plan, candidate: Candidate) -> Iterator[Line]:
    """The rounds, each section's name and stitch on a line of its own before its first."""
    names = section_stitches(plan, candidate)
    for section, run in groupby(rounds(plan, candidate), key=lambda line: line.section):
        if section in names:
            yield Line(section, 0, 0, 0, f"-- {names[section]}", None, None)
        yield from run


def _cell(cm: float | None, unit: Unit) -> tuple[str]:
    return ("" if cm is None else length(cm, unit),)


def section_stitches(plan: Plan, candidate: Candidate) -> dict[str, str]:
    """Section name -> the name with its stitch in the brief's terms: ``crown, hdc``."""
    sections = [s for s in candidate.tally.sections if s.section != "nudge"]
    known = min(len(sections), len(plan.section_stitches))
    return {
        s.name: f"{clean(s.name)}, {own_stitch(plan, i)}" for i, s in enumerate(sections[:known])
    }


def _measure_lines(plan: Plan, candidate: Candidate, unit: Unit) -> list[str]:
    """What to lay a ruler on: the disc at the stop round, the depth, the edge."""
    m, tally, out = candidate.measures, candidate.tally, []
    if m.crown_across_cm is not None and tally.stop_round is not None:
        out.append(
            f"Measure the disc after rnd {tally.stop_round}: {length(m.crown_across_cm, unit)} "
            f"{unit} across."
        )
    if m.depth_wish_cm is not None:
        where = "to where the brim turns" if tally.brim else "to the edge"
        out.append(f"Depth along the fabric {where}: {length(m.depth_cm, unit)} {unit}.")
    if m.edge_cm is not None:
        out.append(f"Edge: {length(m.edge_cm, unit)} {unit} around.")
    return [paragraph(line) for line in out]


def rounds(plan: Plan, candidate: Candidate) -> Iterator[Line]:
    """Every round as a Line; neighbours that only work even are folded into one."""
    singles = list(single_rounds(plan.piece, candidate))
    for _, run in groupby(singles, key=lambda line: (line.section, line.words, line.count)):
        same = list(run)
        if not _folds(same[0]):
            yield from same
            continue
        head, tail = same[0], same[-1]
        yield Line(
            head.section,
            head.first,
            tail.last,
            head.count,
            _folded(head.words, len(same)),
            head.around_cm,
            tail.across_cm,
        )


def _folds(line: Line) -> bool:
    return line.words.startswith("work even")


def _folded(words: str, rounds: int) -> str:
    return words if rounds == 1 else f"{words}, {plural(rounds, 'round')}"


def single_rounds(piece: Piece, candidate: Candidate) -> Iterator[Line]:
    """Every round as a Line of its own."""
    widths = candidate.measures.round_widths_cm
    nudges = {nudge.round: nudge for nudge in candidate.measures.nudges}
    number = 0
    for section in candidate.tally.sections:
        count = section.count_in
        for place, change in enumerate(section.changes):
            number += 1
            words = _words(piece, section, place, count, change)
            if number in nudges:
                words = f"nudge before {clean(nudges[number].before)}: {words}"
            count += change
            across = _across(piece, section, place)
            around = None if _inside_figure(section, place) else widths[number - 1]
            name = "nudge" if section.section == "nudge" else section.name
            yield Line(name, number, number, count, words, around, across)


def _inside_figure(section: SectionTally, place: int) -> bool:
    """Whether a band's round leaves another number of places than the band began with."""
    counts = section.per_repeat
    return section.section == "band" and counts is not None and counts[place + 1] != counts[0]


def _across(piece: Piece, section: SectionTally, place: int) -> float | None:
    """Width of the disc after a crown's round, in cm, as far as it grows as a disc."""
    spec = next((s for s in piece.sections if isinstance(s, Crown)), None)
    if section.section != "crown" or spec is None:
        return None
    return spec.hole_cm + 2 * (place + 1) * spec.gauge.height_cm


def _words(piece: Piece, section: SectionTally, place: int, count: int, change: int) -> str:
    """What one round does, by the kind of its section."""
    if section.section == "crown" and place == 0:
        return f"{change} stitches into the ring"
    if section.per_repeat is not None and section.repeats is not None:
        return _figure_words(section, place)
    words = round_words(count, change, section.sectors)
    if section.section == "brim" and change == 0 and _is_firm(piece, section, place):
        return "work even, firm"
    return words


def _is_firm(piece: Piece, section: SectionTally, place: int) -> bool:
    firm = next((s.firm_rounds for s in piece.sections if isinstance(s, Brim)), 0)
    return place >= section.rounds - firm


def _figure_words(section: SectionTally, place: int) -> str:
    """A figure's round by its counts per repeat: ``9 become 11, 12 times``."""
    assert section.per_repeat is not None and section.repeats is not None
    takes, leaves = section.per_repeat[place : place + 2]
    change = f"repeats of {takes}" if takes == leaves else f"{takes} become {leaves}"
    return f"figure rnd {place + 1} of {section.rounds}: {change}, {times(section.repeats)}"
