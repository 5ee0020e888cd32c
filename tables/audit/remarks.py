"""What is said about rounds: the fault of a wrong one, the note of one that is right.

Notes name the round and the size, in the order of the text; the same note on rounds that follow
one another is said once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from evenround.tables.rounds.counter import Worked
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.steps import Chain, Leave, Repeat, Skip, StartChain, Step
from evenround.tables.rounds.stepwise import all_steps
from evenround.tables.rounds.writer import stitch_name
from evenround.tables.words import plural

from .compare import spaces, without_chains
from .mend import ways_out
from .names import size_words
from .rows import Row, Sized
from .settle import turning_chains
from .wording import counted, several


def fault_words(row: Row, later: str, terms: Terms) -> str:
    """What is wrong with a round, in one or two sentences, in the pattern's own terms."""
    judged = row.judged
    assert judged is not None
    worked = judged.worked
    wrong = [kind for kind in judged.kinds if kind.agrees is False]
    makes = several([f"makes {counted(k.made or 0, k.what)}, not {k.printed}" for k in wrong])
    if judged.trouble == "short":
        text = f"needs {judged.uses} of {judged.has}, {worked.short} more than there are"
        text += f", and then {makes}" if wrong else f", and would make {worked.makes}"
    elif judged.trouble == "over":
        text = f"uses {judged.uses} of {judged.has} and leaves {worked.over} unworked"
        said = next((s.n for s in row.steps if isinstance(s, Leave)), None)
        text += f", where it says {said}" if said is not None else ""
        text += f", and {makes}" if wrong else ""
    elif judged.trouble == "left":
        over = judged.readings[0][1].over_in_repeat
        text = (
            f"uses {judged.uses} of {judged.has}: {judged.remarks[0]}, with {over} of "
            f"{judged.has} unworked"
        )
    elif judged.trouble == "end":
        left = next(s.left for s in row.steps if isinstance(s, Repeat) and s.left)
        text = (
            f"does not reach its own end on {judged.has}: {judged.remarks[0]}, but the text says "
            f"where the repeat ends, {plural(left, 'place')} before the end of the round"
        )
    elif judged.readings:
        text = f"uses {judged.uses} of {judged.has}: {judged.remarks[0]}"
    else:
        text = makes
    text += _chain_words(row, worked, terms) if wrong else ""
    return f"{text}; {later}" if later else text


def _chain_words(row: Row, worked: Worked, terms: Terms) -> str:
    """Where chain spaces are in the count: what they add, and what shorter ones would."""
    lengths = sorted({s.n for s in all_steps(row.steps) if isinstance(s, Chain)})
    if len(lengths) != 1:
        return ""
    length, stitches = lengths[0], without_chains(worked)
    holes = spaces(worked.made, None)
    printed = {kind.printed for kind in row.judged.kinds} if row.judged is not None else set()
    text = f" ({plural(stitches, 'stitch', 'stitches')} and {plural(holes, f'ch-{length} space')}"
    possible = {worked.makes: "", stitches: "counting the stitches alone"}
    for n in (length - 1, length + 1):
        if n > 0 and (n < length or stitches + n * holes in printed):
            possible[stitches + n * holes] = f"with ch-{n} spaces"
    for count, words in (*possible.items(), *_higher_opening(row, worked, terms)):
        text += f"; {count} {words}" if words else ""
    if not printed & set(possible):
        text += f"; no way of counting gives {max(printed)}"
    return f"{text})"


def _higher_opening(row: Row, worked: Worked, terms: Terms) -> Iterator[tuple[int, str]]:
    """The count where the opening chain is taken at its usual height, not the pattern's own."""
    for step, rest in pairwise(row.steps):
        if not isinstance(step, StartChain) or step.stands_for is None:
            continue
        usual = turning_chains().get(step.stands_for.name, step.n)
        beyond = step.n + rest.n - usual if isinstance(rest, Chain) else 0
        if isinstance(rest, Chain) and usual != step.n and beyond > 0:
            count = worked.makes - rest.n + beyond
            name = stitch_name(step.stands_for, terms)
            yield count, f"if the first chain is a {name} and ch {beyond}"


def round_note(row: Row, *, inherited: bool) -> str:
    """The note beside a round."""
    parts = list(row.judged.remarks) if row.judged is not None else []
    if row.carried and row.judged is not None:
        made = several([counted(k.made or 0, k.what) for k in row.judged.kinds])
        parts.append(f"counted on from the wrong count before it: {made} would be right")
    elif inherited:
        parts.append("right on the count it was given, but inherits the fault before it")
    if row.marked and row.after is not None:
        what = "the printed" if row.given.printed else "the mended"
        parts.append(f"counting goes on from {what} {row.after.count}")
    return "; ".join(parts)


def notes_for(
    sized: Sequence[Sized], left_open: Collection[tuple[str | None, str, str]] = ()
) -> tuple[str, ...]:
    """The notes of all rounds that are right, and of chains that change the count; those whose
    figure is left open are spoken of as faults."""
    notes: list[str] = []
    for one in sized:
        name = "" if one.size is None else f" ({size_words((one.size,))})"
        borne = [row for row in one.rows if _borne_out_by_part(row)]
        if len(borne) > 1:
            notes.append(_borne_out_words(borne, name))
        said = [
            (row.given.label, remark)
            for row in one.rows
            if not row.wrong
            and (one.size, row.given.source.section, row.given.label) not in left_open
            and (len(borne) < 2 or not _borne_out_by_part(row))
            for remark in (*_remarks(one, row), *_over_words(row))
        ]
        said += [
            (row.given.label, remark)
            for row in one.rows
            if row.wrong
            for remark in _over_words(row)
        ]
        notes += [f"{labels}{name}: {remark}" for labels, remark in _folded(said)]
    return tuple(dict.fromkeys(notes))


def _remarks(one: Sized, row: Row) -> tuple[str, ...]:
    """A round's remarks; to a left-over the nearest ways to have none."""
    if row.judged is None:
        return ()
    ways = [mend.words for mend in ways_out(one.course, row, row.judged)]
    if not ways or not row.judged.readings:
        return row.judged.remarks
    first, *rest = row.judged.remarks
    return (f"{first}; {'; '.join(ways)}", *rest)


def _borne_out_by_part(row: Row) -> bool:
    return (
        row.judged is not None
        and row.judged.sound
        and bool(row.judged.readings)
        and "part" in row.judged.fits
    )


def _borne_out_words(rows: Sequence[Row], name: str) -> str:
    labels = [row.given.label for row in rows]
    where = f"{labels[0]} to {labels[-1]}" if len(labels) > 2 else " and ".join(labels)
    shaped = any(row.judged and row.judged.has != row.judged.worked.makes for row in rows)
    return (
        f"{where}{name}: {len(rows)} left-overs and no wrong count: stopping inside the repeat "
        "gives exactly the printed count each time"
        + (" (the start of the rounds has shifted the increases)" if shaped else "")
    )


def _folded(said: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """The same remark on several rounds said once, with the first and last of them."""
    by_remark: dict[str, list[str]] = {}
    for label, remark in said:
        by_remark.setdefault(remark, []).append(label)
    for remark, labels in by_remark.items():
        unique = list(dict.fromkeys(labels))
        if len(unique) > 3:
            yield f"{unique[0]} to {unique[-1]} ({len(unique)} rounds)", remark
        else:
            yield several(unique), remark


def _over_words(row: Row) -> Iterator[str]:
    """Chains that stand over another number of stitches and so change the count."""
    judged = row.judged
    if judged is None or judged.has is None or row.after is None:
        return
    seen: dict[tuple[int, int], int] = {}
    for chain, skip in _pairs(row.steps):
        if chain != skip:
            seen[chain, skip] = seen.get((chain, skip), 0) + 1
    for (chain, skip), times in seen.items():
        if any(isinstance(s, Repeat) for s in row.steps):
            times = spaces(judged.worked.made, chain)
        mended = row.wrong and not row.given.printed
        after = row.after.count if mended else judged.worked.makes
        often = {1: "once", 2: "twice"}.get(times, f"{times} times")
        yield (
            f"{plural(chain, 'chain stands', 'chains stand')} over "
            f"{plural(skip, 'stitch', 'stitches')}, {often}: the round turns {judged.has} into "
            f"{after}"
        )


def _pairs(steps: Sequence[Step]) -> Iterator[tuple[int, int]]:
    """Every chain next to a skip, inside repeats as well: its chains and what it passes over."""
    for one, other in pairwise(steps):
        if isinstance(one, Chain) and isinstance(other, Skip):
            yield one.n, other.n
        elif isinstance(one, Skip) and isinstance(other, Chain):
            yield other.n, one.n
    for step in steps:
        if not isinstance(step, Repeat):
            continue
        yield from _pairs(step.steps)
        if step.steps and isinstance(step.steps[-1], Chain) and isinstance(step.steps[0], Skip):
            yield step.steps[-1].n, step.steps[0].n
