"""The crown from above, to scale as a flat disc: its rounds, and where they increase."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise
from math import cos, pi, sin

from evenround.solver.candidate import Candidate
from evenround.solver.piece import Crown
from evenround.tables.plan import Plan, Unit
from evenround.tables.rounds.counter import plain_round
from evenround.tables.rounds.steps import Step, Stitch, Work
from evenround.tables.words import crown_words, length, listed, plural

from .lettering import SMALL
from .listing import handed, heading, paragraph, piece_words
from .marks import marks_of
from .sheet import NotDrawnError, Sheet, points
from .symbols import dot

Steps = tuple[Step, ...]

MIDDLE, RADIUS = 180.0, 160.0
LABELS_APART, LABEL_WIDE = 14.0, 36.0
HALFWAY = 0.15
"""How near the middle of a sector, as a share of it, a shifted increase stands."""


@dataclass(frozen=True, slots=True)
class CrownRound:
    """A round of the crown: number from 1, count after it, how far around and from the middle
    (cm), its steps, and where its increases stand, as shares of the way round."""

    number: int
    count: int
    around_cm: float
    reach_cm: float
    steps: tuple[Step, ...]
    increases: tuple[float, ...]

    @property
    def shifted(self) -> bool:
        """Whether its increases stand amid the sectors, not where they begin."""
        if not self.increases:
            return False
        return abs(self.increases[0] * len(self.increases) % 1 - 0.5) < HALFWAY


def crown_rounds(plan: Plan, candidate: Candidate, *, shift: bool = True) -> list[CrownRound]:
    """Every round of the crown, its increases where the pattern writes them.

    NotDrawnError where the piece has no crown.
    """
    spec, crown = plan.piece.sections[0], candidate.tally.crown
    if not isinstance(spec, Crown) or crown is None:
        raise NotDrawnError("this piece has no crown")
    widths = candidate.measures.round_widths_cm
    every = crown_steps(crown.changes, plan.section_stitches[0], shift)
    below = (0, *crown.counts)
    return [
        CrownRound(
            place + 1,
            count,
            widths[place],
            spec.hole_cm / 2 + (place + 1) * spec.gauge.height_cm,
            steps,
            _increases(steps, below[place]) if place else (),
        )
        for place, (steps, count) in enumerate(zip(every, crown.counts, strict=True))
    ]


def has_shifts(rounds: Sequence[CrownRound]) -> bool:
    """Whether two rounds or more grow in sectors, so that every other one can be shifted."""
    return sum(after.count % before.count != 0 for before, after in pairwise(rounds)) > 1


@lru_cache(maxsize=64)
def crown_steps(changes: tuple[int, ...], stitch: str, shift: bool) -> tuple[Steps, ...]:
    """The steps of a crown's rounds as the pattern has them, without what opens and ends them:
    every other round that grows in sectors is shifted (a test holds them to the pattern's)."""
    from evenround.tables.pattern.shaping import change_round  # late: it brings the reader

    out: list[Steps] = [(Work(Stitch(stitch), changes[0], "ring"),)]
    count, grown = changes[0], 0
    for change in changes[1:]:
        stands = change != 0 and (count + change) % count != 0
        odd = shift and stands and grown % 2 == 1
        out.append(change_round(Stitch(stitch), count, change, shift=odd))
        grown += stands
        count += change
    return tuple(out)


@lru_cache(maxsize=512)
def _increases(steps: tuple[Step, ...], count: int) -> tuple[float, ...]:
    """Middles of the places that two or more stitches of one place make."""
    marks, worked = marks_of(steps, plain_round(count))
    runs = ([m.top + 0.5 for m in run] for _, run in groupby(marks, key=lambda mark: mark.feet))
    return tuple(sum(tops) / len(tops) / worked.makes for tops in runs if len(tops) > 1)


@dataclass(frozen=True, slots=True)
class Disc:
    """The crown on the sheet: its middle at (x, y), ``per_cm`` units a cm."""

    x: float
    y: float
    per_cm: float
    left_handed: bool

    def at(self, share: float, reach_cm: float, inward: float = 0.0) -> tuple[float, float]:
        """A point by its share of the way round and its distance from the middle, less some
        units: from straight down on, against the clock, the way a right hand works a round that
        is seen from its right side; a left hand works it with the clock."""
        turn = -2 * pi * share if self.left_handed else 2 * pi * share
        radius = reach_cm * self.per_cm - inward
        return self.x + radius * sin(turn), self.y + radius * cos(turn)


def crown_view(
    plan: Plan,
    candidate: Candidate,
    unit: Unit | None = None,
    *,
    shift: bool = True,
    left_handed: bool = False,
    styled: bool = True,
) -> str:
    """The crown from above as SVG: a circle a round, a mark an increase, lines along them.

    NotDrawnError where the piece has no crown. ``shift`` as in ``write_pattern``; ``left_handed``:
    as a left hand works it, the other way round.
    """
    rounds = crown_rounds(plan, candidate, shift=shift)
    unit = unit or plan.unit
    words = crown_words(candidate.tally) or ""
    across = candidate.measures.crown_across_cm or 2 * rounds[-1].reach_cm
    counts = listed([str(each.count) for each in rounds])
    stop = candidate.tally.stop_round or len(rounds)
    measure = f"After round {stop} the disc is {length(across, unit)} {unit} across."
    desc = f"Crown {words}, {plural(len(rounds), 'round')}: {counts} stitches. {measure}"
    title = f"{piece_words(plan)}: the crown from above{handed(left_handed)}"
    sheet = Sheet(title, desc, what="crown")
    top = heading(sheet, plan, f"the crown from above{handed(left_handed)}: {words}")
    disc = Disc(MIDDLE, top + RADIUS + 6, RADIUS / rounds[-1].reach_cm, left_handed)
    spec = plan.piece.sections[0]
    _circles(sheet, rounds, disc, spec.hole_cm if isinstance(spec, Crown) else 0.0)
    _lines(sheet, rounds, disc)
    _counts(sheet, rounds, disc, candidate)
    y = _ruler(sheet, across, disc, unit, stop)
    for sentence in _remarks(rounds, shift=shift, left_handed=left_handed):
        y = paragraph(sheet, sentence, y, "soft")
    return sheet.svg(y + 2, styled=styled)


def _circles(sheet: Sheet, rounds: Sequence[CrownRound], disc: Disc, hole_cm: float) -> None:
    outer = rounds[-1]
    for each in rounds:
        look = "line" if each is outer else "grid"
        sheet.circle(
            disc.x,
            disc.y,
            each.reach_cm * disc.per_cm,
            look,
            round=each.number,
            count=each.count,
            width_cm=each.around_cm,
            increases=len(each.increases),
        )
    # an adjustable ring is drawn as a small circle, a real hole to scale
    ring = max(2.5, hole_cm / 2 * disc.per_cm)
    sheet.circle(disc.x, disc.y, ring, "line", hole_cm=hole_cm)
    sheet.line(disc.x, disc.y, *disc.at(0.0, outer.reach_cm), "wish")


def _lines(sheet: Sheet, rounds: Sequence[CrownRound], disc: Disc) -> None:
    """A dot an increase; lines along those that stand in line, shifted ones apart and dashed."""
    grown = [each for each in rounds if each.increases]
    for _, run in groupby(grown, key=lambda each: len(each.increases)):
        same = list(run)
        for shifted in (False, True):
            line = [each for each in same if each.shifted is shifted]
            if len(line) > 1:
                sheet.path(_radial(line, disc), "even dash" if shifted else "odd")
    for each in grown:
        spots = [disc.at(share, each.reach_cm) for share in each.increases]
        sheet.path(
            "".join(dot(spot, 2.2) for spot in spots),
            "dot-even" if each.shifted else "dot-odd",
            increase_round=each.number,
            shares=each.increases,
        )


def _radial(rounds: Sequence[CrownRound], disc: Disc) -> str:
    """Lines outward along the increases of some rounds that have as many."""
    return "".join(
        points(*(disc.at(e.increases[line], e.reach_cm) for e in rounds))
        for line in range(len(rounds[0].increases))
    )


def _counts(sheet: Sheet, rounds: Sequence[CrownRound], disc: Disc, candidate: Candidate) -> None:
    """Counts on the way up, between two lines of increases: the last, and what else has room."""
    crown = candidate.tally.crown
    sectors = (crown.sectors if crown else None) or candidate.tally.start
    share = round(sectors / 2) / sectors + 0.3 / sectors
    nearest = LABEL_WIDE * 2 * sectors / (2 * pi)  # further in the lines are too near each other
    taken: float | None = None
    for each in reversed(rounds):
        radius = each.reach_cm * disc.per_cm - 5
        if taken is not None and (taken - radius < LABELS_APART or radius < nearest):
            continue
        x, y = disc.at(share, each.reach_cm, inward=5)
        sheet.text(x, y + 4, str(each.count), "ink halo", anchor="middle", size=SMALL)
        taken = radius


def _ruler(sheet: Sheet, across: float, disc: Disc, unit: Unit, stop: int) -> float:
    """The disc's width at the stop round, below the drawing."""
    y = disc.y + RADIUS + 14
    x1, x2 = disc.x - across * disc.per_cm / 2, disc.x + across * disc.per_cm / 2
    sheet.path(f"M{x1:.1f} {y - 4:.1f}v8M{x2:.1f} {y - 4:.1f}v8M{x1:.1f} {y:.1f}H{x2:.1f}", "thin")
    words = f"{length(across, unit)} {unit} across, round {stop}"
    sheet.text(disc.x, y + 14, words, anchor="middle", size=SMALL, across_cm=across)
    return y + 36


def _remarks(rounds: Sequence[CrownRound], *, shift: bool, left_handed: bool) -> Iterator[str]:
    way = "with the clock, left-handed" if left_handed else "against the clock"
    yield f"Numbers: stitches after that round. Long dashes: where rounds begin; they run {way}."
    if shift and has_shifts(rounds):
        yield (
            "Dots: increases. Every other increase round is shifted by half a sector, as the "
            "pattern has it: its dots stand on the dashed lines."
        )
    else:
        yield "Dots: increases; the lines follow them from round to round."
