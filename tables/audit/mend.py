"""What would put a wrong round right: the nearest change, another count, or the ways out.

Every one-thing change of the round (``variants``) is worked; those that use what there is and
make what is printed are ranked by what the next round wants, by the form the other rounds have,
and by how small the change is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.steps import Repeat, Step, Work

from .compare import all_agree
from .expand import Given
from .judge import Judged, judge
from .missing import missing_mend
from .rows import Course, Mend, Row, next_told, printed_below, speaks_for
from .settle import figure_of, settled
from .variants import Variant, keeps_shared, shape, variants
from .wording import change_words, counted, round_words

MOST_MENDS = 3
MOST_BOUNDARIES = 60
LARGEST = 3_000
"""Places of a round past which no mend is looked for: nobody works one, and trying every change
on it takes long."""


@dataclass(frozen=True, slots=True)
class _Tried:
    variant: Variant
    judged: Judged
    rank: tuple[float, ...]


def mends(course: Course, at: int, row: Row) -> tuple[Mend, ...]:
    """Ways to mend a wrong round, best first; empty where none is near."""
    judged, below = row.judged, row.below
    if judged is None or (below is not None and below.count > LARGEST):
        return ()
    try:
        found = list(_changes(course, at, row, judged))
    except CountError:
        return ()
    count = _other_count(row, judged)
    if count is not None:
        wanted = _next_wants(course, at, row, judged)
        if wanted > 0:
            found = [count, *(mend for mend in found if _suits(course, at, mend, judged))]
        elif wanted == 0 or not found:
            found = [*found, count]
    if judged.trouble == "left":
        # The count is that of whole repeats: another count or gap is likelier than a slip.
        out = ways_out(course, row, judged)
        found = [*found, *_even_counts(course, row)] if found else out
    elif not found:
        found = ways_out(course, row, judged)
    elif judged.readings:
        found += _even_counts(course, row)
    lacking = missing_mend(course, at, row)
    if lacking is not None:
        found = [lacking, *found]
    return tuple(dict.fromkeys(found))[: MOST_MENDS + 1]


# --- one thing changed -----------------------------------------------------------------------


def _changes(course: Course, at: int, row: Row, judged: Judged) -> Iterator[Mend]:
    tried = list(_tried(course, at, row, printed=True))
    settled_by_next = not judged.worked.short and _next_fits(course, at, judged)
    if not tried and row.given.printed and judged.trouble != "left" and not settled_by_next:
        tried = [t for t in _tried(course, at, row, printed=False) if t.rank[0] <= -2]
    tried.sort(key=lambda t: t.rank)
    best = [t for t in tried if t.rank[:4] == tried[0].rank[:4]]
    agreed = [t for t in best if abs(t.rank[4] - best[0].rank[4]) < 1e-9]
    for one in agreed[:MOST_MENDS]:
        yield _mend(course, row, one)


def _next_fits(course: Course, at: int, judged: Judged) -> bool:
    """Whether the next round comes out on what is made, so that only the count is off."""
    following = next_told(course, at)
    return following is not None and speaks_for(course, following, judged.likely.made) > 1


def _mend(course: Course, row: Row, tried: _Tried) -> Mend:
    words = change_words(row.steps, tried.variant, course.terms)
    made = tried.judged.worked
    if tried.judged.uses is not None:
        words += f": it then uses all {tried.judged.has} and makes {made.makes}"
    else:
        words += f": it then makes {made.makes}"
    if row.given.printed and tried.judged.trouble == "count":
        words += f" (and {made.makes} would be the count to print)"
    return Mend(words, made.made)


def _tried(course: Course, at: int, row: Row, *, printed: bool) -> Iterator[_Tried]:
    """Every near change that comes out; as printed, or (``printed`` false) whatever it makes."""
    following = next_told(course, at)
    others = _shapes(course, at)
    wanted = _boundaries_wanted(course, following)
    left = row.judged is not None and row.judged.trouble == "left"
    counts = row.given.printed if printed else ()
    for variant in variants(row.steps):
        if _too_far(variant) or (left and not _of_the_gap(row.steps, variant)):
            continue
        judged = _judged(course, row, variant.steps, counts)
        if judged is None or not judged.borne_out or judged.worked.short:
            continue
        if printed and _lost(row, judged):
            continue
        if row.judged is not None and not printed and _same_count(row.judged, judged):
            continue
        made = judged.worked.made
        if not printed and row.given.printed:
            judged = replace(judged, trouble="count")
        rank = (
            -float(speaks_for(course, following, made)) if following is not None else 0.0,
            -float(_aligned(made, wanted) + _aligned(row.below, _boundaries(variant.steps))),
            0.0 if shape(variant.steps) in others else 1.0,
            {"number": 0.0, "together": 0.0, "kind": 1.0, "left out": 2.0}[variant.change],
            variant.far,
            -float(variant.position),
        )
        yield _Tried(variant, judged, rank)


def _lost(row: Row, other: Judged) -> bool:
    """Whether a change no longer makes what is counted, so that nothing bears it out."""
    known = row.judged is not None and all_agree(row.judged.kinds) is not None
    return known and all_agree(other.kinds) is None


def _same_count(row: Judged, other: Judged) -> bool:
    """Whether a change makes no other count than the round already does."""
    return not row.worked.short and row.worked.makes == other.worked.makes


def _too_far(variant: Variant) -> bool:
    """More than double the number, and by more than a slip of two."""
    return variant.change in ("number", "together") and variant.far > 1.0 and variant.by > 2


def _of_the_gap(steps: Sequence[Step], variant: Variant) -> bool:
    """A change of a plain run that stays the one the repeat has."""
    return isinstance(variant.before, Work) and keeps_shared(steps, variant.steps)


def _judged(
    course: Course, row: Row, steps: Sequence[Step], counts: Sequence[object]
) -> Judged | None:
    printed = row.given.printed if counts else ()
    try:
        return judge(steps, row.below, printed, course.ways(row.given))
    except CountError:
        return None


def _shapes(course: Course, at: int) -> set[tuple[object, ...]]:
    """The forms of the rounds near this one, itself left out."""
    near = course.rounds[max(0, at - 12) : at] + course.rounds[at + 1 : at + 13]
    return {shape(settled(g.steps, course.settings)) for g in near if g.steps is not None}


def _boundaries_wanted(course: Course, following: Given | None) -> set[int]:
    """Where the next round's steps begin and end on this one."""
    if following is None or following.steps is None:
        return set()
    return _boundaries(settled(following.steps, course.settings))


def _boundaries(steps: Sequence[Step]) -> set[int]:
    """Where the steps of a round begin and end on the round below; empty where some repeat."""
    if len(steps) > MOST_BOUNDARIES or any(isinstance(s, Repeat) for s in steps):
        return set()
    return set(accumulate(work_round((step,), Below(())).uses for step in steps))


def _aligned(made: Below | None, wanted: set[int]) -> int:
    """How many changes from one stitch to another (chains to stitches) meet such a place."""
    if made is None or not wanted:
        return 0
    places = made.places
    changes = [i for i in range(1, len(places)) if places[i].name != places[i - 1].name]
    return sum(change in wanted for change in changes[:MOST_BOUNDARIES])


# --- another count ---------------------------------------------------------------------------


def _other_count(row: Row, judged: Judged) -> Mend | None:
    """The printed count is the slip, where the round comes out even as it is worked."""
    if judged.trouble != "count" or judged.readings or not row.given.printed:
        return None
    wrong = [kind for kind in judged.kinds if kind.agrees is False]
    if not wrong:
        return None
    words = " and ".join(f"{counted(k.made or 0, k.what)} instead of {k.printed}" for k in wrong)
    return Mend(f"print {words}, if the round is meant as it stands", judged.worked.made)


def _next_wants(course: Course, at: int, row: Row, judged: Judged) -> int:
    """Above 0 where the next round fits what is made better than what is printed, below 0 where
    it fits the printed count better."""
    following = next_told(course, at)
    printed = printed_below(row.given)
    if following is None:
        return 0
    other = speaks_for(course, following, printed) if printed is not None else 0
    return speaks_for(course, following, judged.likely.made) - other


def _suits(course: Course, at: int, mend: Mend, judged: Judged) -> bool:
    """Whether the next round fits a mend as well as it fits what is made."""
    following = next_told(course, at)
    if following is None or mend.made is None:
        return True
    fit = speaks_for(course, following, mend.made)
    return fit >= speaks_for(course, following, judged.likely.made)


# --- ways out of a left-over -----------------------------------------------------------------


def ways_out(course: Course, row: Row, judged: Judged) -> list[Mend]:
    """The nearest instruction that comes out even here, and the nearest counts that suit."""
    if row.below is None or not judged.readings:
        return []
    found: list[Mend] = []
    printed = row.given.printed[0].number if row.given.printed else judged.likely.makes
    even = []
    for variant in () if figure_of(row.steps) else variants(row.steps):
        if variant.change not in ("number", "together") or not isinstance(variant.before, Work):
            continue
        if not keeps_shared(row.steps, variant.steps):
            continue
        other = _judged(course, row, variant.steps, ())
        if other is not None and other.borne_out:
            makes = other.worked.makes
            even.append((variant.far > 1, abs(makes - printed), variant.far, makes, variant))
    if even:
        _, _, _, makes, variant = min(even, key=lambda e: e[:4])
        words = round_words(variant.steps, course.terms)
        even_on = f"it comes out even on {row.below.count}: {makes}"
        found.append(Mend(f"changed to \u201c{words}\u201d {even_on}"))
    return [*found, *_even_counts(course, row)]


def _even_counts(course: Course, row: Row) -> list[Mend]:
    counts = nearest_counts(course, row)
    text = f"as it stands it comes out even on {' or '.join(map(str, counts))} sts"
    return [Mend(text)] if counts else []


def nearest_counts(course: Course, row: Row) -> tuple[int, ...]:
    """The nearest smaller and larger counts on which the round comes out even as written."""
    if row.below is None:
        return ()
    has = row.below.count
    found = []
    for direction in (-1, 1):
        for distance in range(1, 41):
            count = has + direction * distance
            if count < 1:
                break
            other = _on(course, row, count)
            if other is not None and other.borne_out:
                found.append(count)
                break
    return tuple(found)


def _on(course: Course, row: Row, count: int) -> Judged | None:
    try:
        return judge(row.steps, plain_round(count), (), course.ways(row.given))
    except CountError:
        return None
