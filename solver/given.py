"""A hat given by the counts it prints, as a tally that is measured like any other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from .piece import Band, Brim, Crown, Edging, Even, Piece, Section
from .tally import Kind, SectionTally, Tally

KINDS: dict[type[Section], Kind] = {
    Crown: "crown",
    Even: "even",
    Band: "band",
    Brim: "brim",
    Edging: "edging",
}


def tally_of(
    piece: Piece,
    counts: Sequence[Sequence[int]],
    *,
    chain: int | None = None,
    nudges: Mapping[int, int] | None = None,
) -> Tally:
    """The tally of a piece whose rounds have these counts.

    ``counts`` has, for every section of the piece in order, the count after each of its rounds
    (none for a section of no rounds). ``nudges`` maps the number of a section (from 0) to the
    change that a round of its own makes just before it. ``chain`` is the joined chain of a
    piece without a crown. Nothing is checked against what was asked: ``measure`` does that.
    Raises ValueError where the counts do not suit the piece's sections.
    """
    if len(counts) != len(piece.sections):
        raise ValueError(f"counts: found {len(counts)} sections; {len(piece.sections)} are asked")
    crown = isinstance(piece.sections[0], Crown)
    if crown == (chain is not None):
        raise ValueError("chain: a crown starts in a ring, everything else on a chain of so many")
    now = 0 if chain is None else chain
    sections: list[SectionTally] = []
    for number, (spec, after) in enumerate(zip(piece.sections, counts, strict=True)):
        nudge = (nudges or {}).get(number, 0)
        if nudge:
            sections.append(SectionTally("nudge", "nudge", now, (nudge,)))
            now += nudge
        changes = tuple(b - a for a, b in pairwise((now, *after)))
        sections.append(_section(spec, now, changes, (now, *after)))
        now += sum(changes)
    if not sections[0].changes and crown:
        raise ValueError("counts: a crown has at least the round in the ring")
    return Tally(sections[0].changes[0] if chain is None else chain, tuple(sections))


def _section(
    spec: Section, now: int, changes: tuple[int, ...], counts: tuple[int, ...]
) -> SectionTally:
    kind, grown = KINDS[type(spec)], [c for c in changes if c > 0]
    if isinstance(spec, Crown):
        return SectionTally(kind, spec.name, now, changes, sectors=(grown[1:] or grown or [0])[0])
    if isinstance(spec, Brim):
        return SectionTally(kind, spec.name, now, changes, sectors=grown[0] if grown else None)
    if isinstance(spec, Even):
        return SectionTally(kind, spec.name, now, changes)
    return _figured(kind, spec, now, changes, counts)


def _figured(
    kind: Kind, spec: Band | Edging, now: int, changes: tuple[int, ...], counts: tuple[int, ...]
) -> SectionTally:
    """A band or edging: the give and number of repeats that all its counts agree with."""
    low, high = spec.give_range if isinstance(spec, Band) else (0, 0)
    for give in range(low, high + 1):
        per_repeat = spec.figure.over(give, len(counts) - 1)
        repeats, rest = divmod(now - spec.remainder, per_repeat[0])
        if rest == 0 and counts == tuple(repeats * c + spec.remainder for c in per_repeat):
            return SectionTally(
                kind,
                spec.name,
                now,
                changes,
                per_repeat[0],
                repeats,
                give if spec.figure.has_give else None,
                per_repeat,
            )
    return SectionTally(kind, spec.name, now, changes)
