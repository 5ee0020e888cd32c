"""Why there is no family: which sizes cannot be made together, in words and with numbers."""

from __future__ import annotations

from collections.abc import Iterator

from evenround.solver.family import Conflict, shared_key
from evenround.solver.fit import fit
from evenround.tables.layout import paragraph
from evenround.tables.reasons import breach_words, giving_up_words, requirements_words
from evenround.tables.underneath import WHY, near_miss_block
from evenround.tables.why.short import short_words
from evenround.tables.words import clean, length, listed

from .graded import Graded
from .under import beside
from .words import rule_words, shared_words


def no_family(graded: Graded) -> str:
    """The conflicts one after another, then assumptions, notes and cautions."""
    title = clean(graded.plans[0].title)
    blocks = [paragraph(f"{title}: no family of its sizes meets every requirement.")]
    blocks += [_conflict(graded, conflict) for conflict in graded.grade.conflicts]
    if not graded.grade.conflicts:
        blocks.append(
            paragraph(
                "Time ran out before the sizes to blame were found; a longer --time-limit may tell."
            )
        )
    lines = [paragraph(line, indent="  ", first="") for line in beside(graded)]
    return "\n\n".join([*blocks, *(["\n".join(lines)] if lines else [])])


def _conflict(graded: Graded, conflict: Conflict) -> str:
    if len(conflict.sizes) == 1:
        return _one_size(graded, conflict)
    return _together(graded, conflict)


def _one_size(graded: Graded, conflict: Conflict) -> str:
    """A size that cannot be made at all, or not as the family's rules want it."""
    at, fit = conflict.sizes[0], conflict.fit
    plan, name = graded.plans[at], graded.names[at]
    if fit is None or fit.candidates or graded.grade.alone[at] is not None:
        lines = [_unwilling(graded, at), *_alone(graded, conflict)]
        return "\n".join(paragraph(line) for line in [*lines, _ways_out(graded, conflict)])
    told = short_words(plan, fit.near_misses, graded.unit)
    lines = [f"{name} cannot be made at all."]
    lines += told or [giving_up_words(requirements_words(fit.mends))]
    if conflict.mends:
        lines.append(_ways_out(graded, conflict))
    words = "\n".join(paragraph(line) for line in lines)
    return f"{words}\n{WHY}\n\n{near_miss_block(plan, fit, graded.unit)}"


def _unwilling(graded: Graded, at: int) -> str:
    """A size that could be made, but not as a rule wants it; with the width of a count to keep."""
    name, count, best = graded.names[at], graded.rules.counts.get(at), graded.grade.alone[at]
    if count is None or best is None or count == best.measures.side_count:
        return f"{name} cannot be made as the family wants it."
    m = best.measures
    around = m.around_cm * count / m.side_count
    wide = f"{length(around, graded.unit)} {graded.unit} around"
    if m.around_wish_cm is None:
        return f"{name} cannot keep {count} stitches, {wide}."
    off = around - m.around_wish_cm
    if abs(off) <= graded.plans[at].piece.limits.around_cm:
        return f"{name} cannot keep {count} stitches, {wide}: {_broken(graded, at, count)}."
    way = f"{length(abs(off), graded.unit)} {graded.unit} too {'small' if off < 0 else 'big'}"
    return f"{name} cannot keep {count} stitches, {wide} and {way}."


def _broken(graded: Graded, at: int, count: int) -> str:
    """What a count that is wide enough breaks: its own near miss says."""
    found = fit(graded.plans[at].piece, best=1, near=True)
    miss = next((m for m in found.near_misses if m.side_count == count), None)
    if miss is None:
        return "it is not among the counts that break just one requirement"
    return breach_words(miss.breach, graded.unit)


def _together(graded: Graded, conflict: Conflict) -> str:
    """Sizes that could each be made, but not with the rest of this set."""
    names = [graded.names[i] for i in conflict.sizes]
    lines = [f"{listed(names)} cannot be made together.", *_alone(graded, conflict)]
    return "\n".join(paragraph(line) for line in [*lines, _ways_out(graded, conflict)])


def _alone(graded: Graded, conflict: Conflict) -> Iterator[str]:
    """What each size of the set would be without the others, in what the family keeps."""
    grams = 0.0
    for i in conflict.sizes:
        best = graded.grade.alone[i]
        if best is None:
            yield f"{graded.names[i]} cannot be made alone either."
            continue
        key = shared_key(graded.rules.kept, best.tally)
        words = shared_words(key, graded.bands, brim=False)
        m = best.measures
        around = f"{length(m.around_cm, graded.unit)} {graded.unit}"
        told = [f"{m.side_count} stitches, {around} around", *words]
        yield f"{graded.names[i]}, alone, is best with {', '.join(told)}."
        grams += (m.yarn.grams or 0.0) * (1 + m.yarn.margin)
    if "yarn" in conflict.mends and grams:
        yield f"Each at its best, they take {grams:.0f} g with their margins."


def _ways_out(graded: Graded, conflict: Conflict) -> str:
    return giving_up_words([rule_words(mend, graded) for mend in conflict.mends])
