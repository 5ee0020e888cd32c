"""Steps as hypothesis makes them: every form a written round can have, each in one way only."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import strategies as st

from evenround.tables.rounds.steps import (
    Bunch,
    Chain,
    Into,
    Join,
    Part,
    Picot,
    Repeat,
    Several,
    Skip,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
)

NAMES = st.sampled_from(["sc", "hdc", "dc", "tr", "dtr"])
FEW = st.integers(1, 5)
MANY = st.one_of(st.integers(1, 5), st.integers(6, 120))


@st.composite
def stitches(draw: st.DrawFn) -> Stitch:
    """A stitch, now and then about a post or through one loop."""
    name = draw(NAMES)
    kind = draw(st.sampled_from(["plain"] * 6 + ["post", "loop"]))
    side = draw(st.sampled_from(["front", "back"]))
    if kind == "post":
        return Stitch(name, post=side)
    return Stitch(name, loop=side) if kind == "loop" else Stitch(name)


@st.composite
def bunches(draw: st.DrawFn) -> Bunch:
    kind = draw(st.sampled_from(["puff", "bobble", "popcorn", "cluster"]))
    return Bunch(kind, Stitch(draw(NAMES)), draw(st.integers(2, 6)))


@st.composite
def groups(draw: st.DrawFn) -> tuple[Part, ...]:
    """What goes into one place: several of a stitch, or stitches with chains between."""
    if draw(st.booleans()):
        return (Several(Stitch(draw(NAMES)), draw(st.integers(2, 9))),)
    first, middle, last = (
        Several(Stitch(draw(NAMES)), draw(FEW)),
        draw(st.sampled_from([Chain(1), Chain(2), Chain(5), Picot(3)])),
        Several(Stitch(draw(NAMES)), draw(FEW)),
    )
    return first, middle, last


@st.composite
def single(draw: st.DrawFn) -> Step:
    """One step that has an end."""
    match draw(st.integers(0, 8)):
        case 0 | 1:
            return Work(draw(stitches()), draw(MANY))
        case 2:
            return Work(draw(bunches()), draw(FEW))
        case 3:
            return Into(draw(groups()), draw(FEW))
        case 4:
            return Skip(draw(FEW))
        case 5:
            return Chain(draw(FEW))
        case 6:
            return Together(Stitch(draw(NAMES)), draw(st.integers(2, 5)), draw(FEW))
        case 7:
            return Work(Stitch(draw(NAMES)), draw(FEW), draw(st.sampled_from(["space", "same"])))
        case _:
            group = draw(groups())
            target = draw(st.sampled_from(["space", "same"]))
            if target == "same" and len(group) == 1:  # several in the same place are one Work
                group = (*group, Chain(1), *group)
            return Into(group, 1, target)


def sensible(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Without steps "in the same place" where none was just worked into."""
    out: list[Step] = []
    for step in steps:
        same = getattr(step, "target", "") == "same"
        if not same or (out and isinstance(out[-1], Work | Into)):
            out.append(step)
    return tuple(out)


def uses(steps: tuple[Step, ...]) -> bool:
    """Whether the steps work into a next place, so that over and over they come to an end."""
    return any(
        getattr(step, "target", "next") != "same" and not isinstance(step, Chain) for step in steps
    )


def blocks(depth: int) -> st.SearchStrategy[tuple[Step, ...]]:
    """Steps of a repeat, repeats of so many times inside as deep as said."""
    one = single() if depth == 0 else st.one_of(single(), single(), in_brackets(depth - 1))
    return st.lists(one, min_size=1, max_size=4).map(sensible).filter(uses)


@st.composite
def in_brackets(draw: st.DrawFn, depth: int) -> Repeat:
    return Repeat(draw(blocks(depth)), draw(st.integers(2, 12)))


@st.composite
def endings(draw: st.DrawFn) -> tuple[Step, ...]:
    """The rest of a round: all that is left, over and over or one in each."""
    match draw(st.integers(0, 4)):
        case 0:
            return (Work(draw(stitches()), None),)
        case 1:
            return (Into(draw(groups()), None),)
        case 2:
            return (Repeat(draw(blocks(2))),)
        case 3:
            left = draw(st.integers(1, 9))
            return (Repeat(draw(blocks(1)), None, left), Work(Stitch(draw(NAMES)), left))
        case _:
            times, more = draw(st.integers(2, 20)), draw(st.sampled_from([True, None]))
            return (Repeat(draw(blocks(1)), times, more=more),)


@st.composite
def openings(draw: st.DrawFn) -> StartChain:
    """Chains that do not count, that count as a stitch, or of which nothing is said."""
    kind = draw(st.sampled_from(["not", "counts", "open"]))
    if kind == "counts":
        return StartChain(draw(st.integers(2, 5)), Stitch(draw(NAMES)))
    if kind == "open":
        return StartChain(draw(st.integers(2, 5)), open=True)
    return StartChain(draw(st.integers(1, 5)))


@st.composite
def rounds(draw: st.DrawFn) -> tuple[Step, ...]:
    """A whole round."""
    joined = draw(st.booleans())
    lead = sensible(draw(st.lists(st.one_of(single(), in_brackets(1)), max_size=3)))
    while lead and isinstance(lead[0], Chain):
        lead = sensible(lead[1:])
    opening = (draw(openings()),) if joined else ()
    closing = (Join(),) if joined else ()
    return (*opening, *lead, *draw(endings()), *closing)
