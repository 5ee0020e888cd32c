"""What a pattern leaves open, and a round with it settled: the opening chain, "repeat N times".

Both are settled for the pattern as a whole; ``Settings`` holds one choice of both, and
``settled`` makes a round's steps plain with it, so that the counter has nothing left to decide.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

from evenround.tables.facts import table
from evenround.tables.rounds.counter import Below, work_round
from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Join,
    Part,
    Picot,
    Repeat,
    Several,
    Skip,
    Spread,
    StartChain,
    Step,
    Stitch,
    Together,
    Turn,
    Work,
)
from evenround.tables.rounds.stepwise import (
    FIGURE,
    all_steps,
    every_nth,
    opening_moves,
    place_name,
    stands_out,
    with_more,
)


@dataclass(frozen=True, slots=True)
class Settings:
    """``chain``: whether an opening chain counts (None: as each round says); ``forced`` says
    that this was asked for. ``more``: "repeat N times" means N more. ``heights``: how many chains
    the pattern uses where one stands for a stitch, by US abbreviation. ``least``: the shortest
    opening chain that may count."""

    chain: bool | None = None
    forced: bool = False
    more: bool = False
    heights: tuple[tuple[str, int], ...] = ()
    least: int = 2


def is_figure(steps: Sequence[Step]) -> bool:
    """Whether a repeat is more than plain stitches, increases and decreases."""
    return any(_figured(step) for step in all_steps(steps))


def _figured(step: Step) -> bool:
    if isinstance(step, Skip | Chain):
        return True
    if not isinstance(step, Into):
        return False
    part = step.parts[0]
    if len(step.parts) > 1 or not isinstance(part, Several) or isinstance(part.stitch, Bunch):
        return True
    return part.n >= FIGURE


def figure_of(steps: Sequence[Step]) -> Repeat | None:
    """The repeat to the end that is a figure; None where a round has none."""
    ends = (s for s in steps if isinstance(s, Repeat) and s.times is None)
    return next((repeat for repeat in ends if is_figure(repeat.steps)), None)


def cut_by_join(steps: Sequence[Step]) -> Repeat | None:
    """The figure of a round that opens with the end of its repeat and works nothing behind it:
    "sc in first st, *sk 2 sts, shell in next st, sk 2 sts, sc in next st; rep from * around". It
    closes on whole repeats; the join cuts the last of them short. None for other rounds."""
    repeat = figure_of(steps)
    if repeat is None:
        return None
    at = next(i for i, step in enumerate(steps) if step is repeat)
    if not all(isinstance(step, Join | Turn) for step in steps[at + 1 :]):
        return None
    opening, unit = _one_by_one(steps[:at]), _one_by_one(repeat.steps)
    if not opening or len(opening) >= len(unit) or unit[-len(opening) :] != opening:
        return None
    return repeat if unit[0] != opening[0] else None  # else a run may go on over the join


def _one_by_one(steps: Sequence[Step]) -> list[object]:
    """Steps into the next places and chains, each by itself."""
    done: list[object] = []
    for step in steps:
        match step:
            case Work(stitch=stitch, n=int(n), target="next"):
                done += [place_name(stitch)] * n
            case StartChain(stands_for=Stitch(name=name)):
                done.append(name)
            case StartChain():
                pass
            case Chain(n) | Skip(n):
                done += [type(step)] * n
            case Into(parts=parts, times=int(times), target="next"):
                done += [_spelt(parts)] * times
            case _:
                done.append(step)
    return done


def _steps_of(pattern: Pattern) -> Iterator[Step]:
    for round_text in pattern.rounds:
        for steps in round_text.steps or ():
            yield from all_steps(steps)


def open_chain(pattern: Pattern) -> bool:
    """Whether the pattern leaves open if an opening chain counts."""
    return pattern.chain_said is None and any(
        isinstance(s, StartChain) and s.open for s in _steps_of(pattern)
    )


def open_repeat(pattern: Pattern) -> bool:
    """Whether a "repeat N times" may be N in all or N more."""
    return any(isinstance(s, Repeat) and s.times and s.more is None for s in _steps_of(pattern))


def settings_for(pattern: Pattern, chain: bool | None, *, forced: bool, more: bool) -> Settings:
    """The settings of one choice, with what the pattern's own chains say."""
    chains = [s for s in _steps_of(pattern) if isinstance(s, StartChain)]
    heights: dict[str, Counter[int]] = {}
    for name, n in _heights(pattern, counts=pattern.chain_said if chain is None else chain):
        heights.setdefault(name, Counter())[n] += 1
    usual = tuple((name, _usual(counts)) for name, counts in sorted(heights.items()))
    longest = max((step.n for step in chains), default=0)
    said = pattern.chain_said if chain is None else chain
    return Settings(said, forced, more, usual, min(2, longest))


def _heights(pattern: Pattern, *, counts: bool | None) -> Iterator[tuple[str, int]]:
    """Every opening chain that stands for a stitch, with its height; those left open where they
    count."""
    for round_text in pattern.rounds:
        for steps in round_text.steps or ():
            for step in steps:
                if not isinstance(step, StartChain) or (step.open and not counts):
                    continue
                stitch = step.stands_for or (main_stitch(steps) if step.open else None)
                if stitch is not None:
                    yield stitch.name, step.n


def _usual(counts: Counter[int]) -> int:
    """The chain used most; of equals the shortest."""
    return min(counts, key=lambda n: (-counts[n], n))


@cache
def turning_chains() -> dict[str, int]:
    """US abbreviation -> the chains usual for its height (terms.csv)."""
    rows = [row for row in table("terms") if row["turning_chains"]]
    return {row["us_abbr"]: int(row["turning_chains"]) for row in rows}


def settled(steps: Sequence[Step], settings: Settings) -> tuple[Step, ...]:
    """The steps with nothing left to settle, ready for the counter; of a chain ``open`` still says
    that the text itself did not.

    In a ring an opening chain that counts is one more stitch of the ring. A stitch "in the same
    place" after a chain that does not count is simply the first stitch of the round.
    """
    steps = with_more(steps, settings.more)
    # spelt out, so that what it leaves over is read like any repeat's
    steps = tuple(every_nth(s) if isinstance(s, EveryNth) and s.nth > 0 else s for s in steps)
    steps = _room_behind(steps)
    in_ring = works_ring(steps)
    out: list[Step] = []
    counted = placed = False
    for step in steps:
        if isinstance(step, StartChain):
            stitch = _stands_for(step, steps, settings)
            counted = counted or stitch is not None
            placed = placed or stitch is not None
            spaced = any(isinstance(s, Skip | Chain) for s in all_steps(steps))
            out += _opening(step, stitch, settings, in_ring=in_ring, spaced=spaced)
        elif not placed and not in_ring and (first := _first_in_same(step)) is not None:
            out.append(first)
            placed = True
        else:
            out.append(step)
            placed = placed or isinstance(step, Work | Into | Together | EveryNth | Spread | Repeat)
    return _first_figure(out)


def _first_figure(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps with a first figure that begins with the opening chain as one of its kind: "ch 3,
    4 dc in same st" is a shell where shells are five dc."""
    at = next((i for i, s in enumerate(steps) if isinstance(s, StartChain) and s.stands_for), None)
    if at is None:
        return tuple(steps)
    chain = steps[at]
    assert isinstance(chain, StartChain) and chain.stands_for is not None
    figures = {
        _spelt(s.parts): s
        for s in all_steps(steps)
        if isinstance(s, Into) and s.target != "ring" and (s.name or stands_out(s.parts))
    }
    parts: list[Part] = [Several(chain.stands_for)]
    found: tuple[int, Into] | None = None
    for end, step in enumerate(steps[at + 1 :], start=at + 2):
        match step:
            case Chain() | Picot():
                parts.append(step)
            case Work(stitch=stitch, n=int(n), target="same"):
                parts.append(Several(stitch, n))
            case Into(parts=more, times=1, target="same"):
                parts.extend(more)
            case _:
                break
        figure = figures.get(_spelt(parts))
        found = found if figure is None else (end, figure)
    if found is None:
        return tuple(steps)
    end, figure = found
    first = replace(figure, times=1, target="same" if opening_moves(steps) else "next")
    return (*steps[:at], replace(chain, stands_for=None), first, *steps[end:])


def _spelt(parts: Sequence[Part]) -> tuple[str, ...]:
    """What is worked into one place, stitch by stitch."""
    spelt: list[str] = []
    for part in parts:
        match part:
            case Several():
                spelt += [place_name(part.stitch)] * part.n
            case Chain():
                spelt += ["ch"] * part.n
            case Picot():
                spelt.append("picot")
    return tuple(spelt)


def _room_behind(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """A repeat to the end leaves room for what the text still has after it."""
    for at, step in enumerate(steps):
        if isinstance(step, Repeat) and step.times is None and not step.left:
            behind = work_round(steps[at + 1 :], Below(())).uses
            return (*steps[:at], replace(step, left=behind), *steps[at + 1 :])
    return steps


def works_ring(steps: Sequence[Step]) -> bool:
    """Whether the round is worked into a ring or the first chain of a piece."""
    return any(isinstance(s, Work | Into) and s.target == "ring" for s in all_steps(steps))


def _opening(
    step: StartChain, stitch: Stitch | None, settings: Settings, *, in_ring: bool, spaced: bool
) -> list[Step]:
    if stitch is None:
        return [replace(step, stands_for=None)]
    if in_ring:
        return [Work(stitch, 1, "ring")]
    opening: list[Step] = [replace(step, stands_for=stitch)]
    usual = dict(settings.heights).get(stitch.name, step.n)
    height = turning_chains().get(stitch.name, step.n)
    if step.n == usual and spaced:
        usual = min(usual, height)  # the only such chain of the pattern opens a mesh
    if step.n > usual and step.n > height:
        # A chain higher than its stitch: the rest is the first chain space.
        opening = [replace(step, n=usual, stands_for=stitch), Chain(step.n - usual)]
    return opening


def _stands_for(step: StartChain, steps: Sequence[Step], settings: Settings) -> Stitch | None:
    decides = settings.forced or step.open
    if not decides or settings.chain is None:
        return step.stands_for
    if not settings.chain or step.n < settings.least:
        return None
    return step.stands_for or main_stitch(steps)


def _first_in_same(step: Step) -> Step | None:
    """The round's first stitch where the text has it in the place of the join."""
    if isinstance(step, Work) and step.target == "same":
        if step.n is not None and step.n > 1:
            return Into((Several(step.stitch, step.n),))
        return replace(step, target="next")
    if isinstance(step, Into) and step.target == "same":
        return replace(step, target="next")
    return None


def main_stitch(steps: Sequence[Step]) -> Stitch | None:
    """The stitch the round works most often written, slip stitches aside; the first of equals."""
    found: Counter[str] = Counter()
    for step in all_steps(steps):
        for name in _stitch_names(step):
            if name != "sl st":
                found[name] += 1
    return Stitch(found.most_common(1)[0][0]) if found else None


def stitches_in(steps: Sequence[Step]) -> set[str]:
    """US abbreviations of the stitches a round is worked in, slip stitches aside."""
    return {name for step in all_steps(steps) for name in _stitch_names(step)} - {"sl st"}


def _stitch_names(step: Step) -> Iterator[str]:
    if isinstance(step, Work | Together | Spread):
        if isinstance(step.stitch, Stitch):
            yield step.stitch.name
    elif isinstance(step, Into | EveryNth):
        yield from _part_names(step.parts)


def _part_names(parts: Sequence[Part]) -> Iterator[str]:
    for part in parts:
        if isinstance(part, Several) and isinstance(part.stitch, Stitch):
            yield part.stitch.name
