"""A short remark on each candidate: what it is best at among those shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from evenround.solver.candidate import EFFORT_PARTS, Candidate, Notice

from .reasons import notice_words

Figure = Callable[[Candidate], float | None]


def effort(candidate: Candidate) -> float:
    """What makes it harder to work, in mm of the score."""
    return sum(candidate.measures.score_parts.get(part, 0.0) for part in EFFORT_PARTS)


def repeat_miss(candidate: Candidate) -> float | None:
    """The worst miss of a repeat's wished width, in cm; None without a wish."""
    misses = [abs(b.repeat_cm - b.wish_cm) for b in candidate.measures.bands if b.wish_cm]
    return max(misses, default=None)


def _around(candidate: Candidate) -> float | None:
    miss = candidate.measures.around_miss_cm
    return None if miss is None else abs(miss)


def _depth(candidate: Candidate) -> float | None:
    miss = candidate.measures.depth_miss_cm
    return None if miss is None else abs(miss)


def _brim(candidate: Candidate) -> float | None:
    m = candidate.measures
    if m.edge_cm is not None and m.edge_wish_cm is not None:
        return abs(m.edge_cm - m.edge_wish_cm)
    if m.flare_deg is None or m.flare_wish_deg is None:
        return None
    return abs(m.flare_deg - m.flare_wish_deg)


PRAISES: tuple[tuple[str, Figure], ...] = (
    ("nearest circumference", _around),
    ("repeat nearest its wish", repeat_miss),
    ("brim nearest its wish", _brim),
    ("depth nearest", _depth),
    ("least special work", effort),
)


def shared_notices(candidates: Sequence[Candidate]) -> list[Notice]:
    """Warnings that every candidate has, with the same words."""
    if not candidates:
        return []
    common = set.intersection(*({notice_words(n) for n in c.measures.notices} for c in candidates))
    return [n for n in candidates[0].measures.notices if notice_words(n) in common]


def remarks(candidates: Sequence[Candidate]) -> list[str]:
    """One remark a candidate: what it is best at, then its own warnings.

    Being best counts where the candidates differ by something a maker could see.
    """
    praise = [_praised(candidates, figure) for _, figure in PRAISES]
    shared = {notice_words(n) for n in shared_notices(candidates)}
    out = []
    for i, candidate in enumerate(candidates):
        words = [name for (name, _), best in zip(PRAISES, praise, strict=True) if i in best]
        own = [notice_words(n) for n in candidate.measures.notices]
        out.append("; ".join([*words, *(w for w in own if w not in shared)]))
    return out


def _praised(candidates: Sequence[Candidate], figure: Figure) -> set[int]:
    """Who is best by one figure; nobody where all are equal or half of them share it."""
    values = [figure(c) for c in candidates]
    known = [round(v, 2) for v in values if v is not None]
    if not known or min(known) == max(known):
        return set()
    best = {i for i, v in enumerate(values) if v is not None and round(v, 2) == min(known)}
    return best if 2 * len(best) <= len(candidates) else set()
