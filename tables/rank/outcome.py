"""What ranking comes to: yarns in order, each with its sizes solved, in balls and centimetres.

Plain data for the page and the exports; nothing here is worded or wrapped.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from time import monotonic

from evenround.solver.candidate import Candidate, Fit
from evenround.solver.rank import (
    YarnRank,
    made_well,
    rank_yarns,
    searched_best,
    solved,
)
from evenround.solver.rank_score import Scores
from evenround.solver.recount import InternalCheckError
from evenround.tables.brief import Brief
from evenround.tables.plan import Plan
from evenround.tables.yarns import Yarn

from .pieces import YarnPieces, bare

Progress = Callable[[int], object]


@dataclass(frozen=True)
class Made:
    """One size in one yarn. ``well`` is False where it is not made at all. ``balls`` hold the
    margin; None where something was not weighed or the ball is not known. ``gauge_effect_cm`` is
    what half a stitch in 10 cm does to the circumference."""

    plan: Plan
    fit: Fit
    well: bool
    balls: int | None
    gauge_effect_cm: float | None

    @property
    def candidate(self) -> Candidate | None:
        """The best design; None where there is none."""
        return self.fit.candidates[0] if self.fit.candidates else None

    @property
    def grams_with_margin(self) -> float | None:
        """Grams with the margin; None where something was not weighed."""
        yarn = self.candidate.measures.yarn if self.candidate else None
        return None if yarn is None or yarn.grams is None else yarn.grams * (1 + yarn.margin)


@dataclass(frozen=True)
class RankedYarn:
    """One listed yarn with its sizes in the brief's order."""

    place: YarnRank
    yarn: Yarn
    made: tuple[Made, ...]


@dataclass(frozen=True)
class Ranking:
    """The listed yarns, best first. ``compared`` is how many yarns were scored, ``useless`` how
    many make no size, ``left_out`` how many the filter by balls passed over, ``unweighed`` how
    many of these for want of a weighed swatch or ball. ``proven``: the integer model proved
    every design listed."""

    title: str
    sizes: tuple[str, ...]
    yarns: tuple[RankedYarn, ...]
    compared: int
    useless: int
    left_out: int
    unweighed: int
    proven: bool


def ranking(
    brief: Brief,
    sizes: Sequence[str],
    yarns: Sequence[Yarn],
    *,
    best: int,
    time_limit: float,
    most_balls: int | None = None,
    progress: Progress | None = None,
) -> Ranking:
    """Rank yarns for sizes (names) of a brief and solve the ``best`` of them.

    ``time_limit`` in seconds is for the proofs; ``progress`` is called with the pairs of yarn
    and size scored since it was last called.
    """
    maker = YarnPieces(brief, sizes)
    pieces = [maker.pieces(yarn) for yarn in yarns]
    scores = Scores([piece for each in pieces for piece in each], progress)
    flat, many = scores.costs, len(sizes)
    places = rank_yarns([flat[i : i + many] for i in range(0, len(flat), many)])
    chosen: list[YarnRank] = []
    left_out = unweighed = 0
    for place in places:
        if len(chosen) == best:
            break
        if most_balls is None:
            chosen.append(place)
            continue
        needed = _balls_needed(maker, yarns[place.yarn], place, scores)
        if needed is not None and needed <= most_balls:
            chosen.append(place)
        else:
            left_out += 1
            unweighed += needed is None
    deadline = monotonic() + time_limit
    listed = []
    for place in chosen:
        yarn = yarns[place.yarn]
        made = tuple(
            _made(maker.plan(yarn, i), scores, place.yarn * many + i, yarn, deadline)
            for i in range(many)
        )
        listed.append(RankedYarn(place, yarn, made))
    proven = all(m.fit.status != "unproven" for each in listed for m in each.made)
    useless = sum(place.missing == many for place in places)
    return Ranking(
        brief.fields.title,
        tuple(sizes),
        tuple(listed),
        len(yarns),
        useless,
        left_out,
        unweighed,
        proven,
    )


def _made(plan: Plan, scores: Scores, pair: int, yarn: Yarn, deadline: float) -> Made:
    """One size of a yarn solved; ``pair`` is its index among the pieces scored."""
    if bare(plan.piece) != scores.pieces[pair]:
        raise InternalCheckError(f"{yarn.name}: the piece scored is not the piece planned")
    found = solved(plan.piece, scores.costs[pair], deadline, scores.useful_ends(pair))
    around = plan.piece.around_cm
    best = found.candidates[0] if found.candidates else None
    if around is None and best is not None:
        around = best.measures.around_cm
    per_10 = plan.gauge_stitches * 10 / plan.over_cm
    return Made(
        plan,
        found,
        best is not None and made_well(plan.piece, best.measures),
        None if best is None else balls_for(best, yarn),
        None if around is None else around * 0.5 / per_10,
    )


def balls_for(best: Candidate, yarn: Yarn) -> int | None:
    """Whole balls with the margin; None where something was not weighed, or the ball."""
    weight = best.measures.yarn
    if weight.grams is None or yarn.ball_grams is None:
        return None
    return ceil(weight.grams * (1 + weight.margin) / yarn.ball_grams - 1e-9)


def _balls_needed(maker: YarnPieces, yarn: Yarn, place: YarnRank, scores: Scores) -> int | None:
    """The most balls that one of the sizes made takes; None where one cannot be told."""
    if yarn.ball_grams is None or not yarn.swatches:
        return None
    most = 0
    for i, cost in enumerate(place.costs):
        if cost is None:
            continue
        useful = scores.useful_ends(place.yarn * len(place.costs) + i)
        best = searched_best(maker.plan(yarn, i).piece, useful)
        assert best is not None  # it was scored
        balls = balls_for(best, yarn)
        if balls is None:
            return None
        most = max(most, balls)
    return most or None
