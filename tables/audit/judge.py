"""One round judged on the round below: what it uses and makes, and whether that can be right.

The counter says how a round comes out; here it is weighed against the printed counts. A left-over
that stopping inside the repeat (or plain stitches) explains is a remark, one that only unworked
stitches explain is trouble. Two habits of written patterns are understood: an opening chain that
is one of a pair, and a skip between repeats that goes without saying.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from evenround.tables.rounds.counter import Below, Reading, Worked, work_round
from evenround.tables.rounds.pattern import Printed, Terms
from evenround.tables.rounds.steps import (
    Into,
    Join,
    Leave,
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
from evenround.tables.rounds.stepwise import all_steps

from .compare import all_agree, compared
from .findings import Kind
from .settle import cut_by_join, figure_of, works_ring

Trouble = Literal["", "short", "over", "left", "end", "count"]
"""More places needed than there are; some left unworked; only unworked stitches explain the
count; the repeat does not reach the end that the text gives it ("to last 6 sts"); another count
than printed."""
READINGS: tuple[Reading, ...] = ("part", "plain", "whole")


@dataclass(frozen=True, slots=True)
class Ways:
    """How rounds are judged: terms of the pattern, whether this round runs on as a spiral, and
    which reading a left-over gets where no count is printed."""

    terms: Terms
    spiral: bool = False
    unprinted: Reading = "part"


@dataclass(frozen=True, slots=True)
class Judged:
    """A round as it came out. ``worked`` is the reading taken, ``likely`` what a maker would
    make of it; ``readings`` are the ways a left-over can be read (empty: there is none)."""

    steps: tuple[Step, ...]
    worked: Worked
    likely: Worked
    uses: int | None
    has: int | None
    kinds: tuple[Kind, ...]
    trouble: Trouble
    readings: tuple[tuple[Reading, Worked], ...] = ()
    fits: tuple[Reading, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong with it."""
        return not self.trouble

    @property
    def borne_out(self) -> bool:
        """Sound, without a left-over, and as printed where a count is printed."""
        return self.sound and not self.readings


def judge(
    steps: Sequence[Step], below: Below | None, printed: Sequence[Printed], ways: Ways
) -> Judged | None:
    """The round judged; None where it cannot be counted because the round below is not known.

    ``steps`` are settled. Raises CountError for what cannot be worked at all.
    """
    ring = works_ring(steps)
    if below is None and not ring and not _says_all(steps):
        return None
    known = Below(()) if ring or below is None else below
    alone = ring or below is None
    first = _as_written(tuple(steps), known, printed, ways, alone=alone)
    if alone or (first.borne_out and (printed or _chain_in_pair(tuple(steps)) is None)):
        return first
    for meant, remark in _habits(tuple(steps), first, known):
        other = _as_written(meant, known, printed, ways, alone=False)
        if other.sound and (not other.readings or _whole_figures(meant, other)):
            said = () if other.readings else other.remarks
            return replace(other, readings=(), fits=(), remarks=(*said, remark))
    if any(isinstance(s, Work | Into) and s.target == "middle" for s in all_steps(steps)):
        other = _as_written(tuple(steps), known, printed, ways, alone=False, past=True)
        if other.borne_out:
            return replace(other, remarks=(*other.remarks, PAST))
    return first


PAST = "after a figure's middle its rest is passed over, which goes without saying"


def _says_all(steps: Sequence[Step]) -> bool:
    """Whether every step says how often, so that it makes the same on any round."""
    for step in all_steps(steps):
        match step:
            case Work() if step.n is None or step.target in ("space", "middle"):
                return False
            case Into() if step.times is None or step.target in ("space", "middle"):
                return False
            case Together() | Repeat() if step.times is None:
                return False
            case Spread():
                return False
            case _:
                continue
    return True


def _as_written(
    steps: tuple[Step, ...],
    below: Below,
    printed: Sequence[Printed],
    ways: Ways,
    *,
    alone: bool,
    past: bool = False,
) -> Judged:
    """The steps worked literally, with the readings of a left-over."""
    whole = work_round(steps, below, reading="whole", past=past)
    if alone:
        return _ringed(steps, whole, printed, ways)
    if not whole.over_in_repeat or _leaves(steps) is not None:
        return _came_out(steps, whole, printed, ways)
    every = {way: work_round(steps, below, reading=way, past=past) for way in READINGS}
    part = every["part"]
    if _says_end(steps):
        return _left_over(steps, every, printed, ways)
    cut = cut_by_join(steps)
    closes = cut is not None and whole.has % work_round(cut.steps, Below(())).uses == 0
    if part.makes == whole.makes or closes:
        # Only a skip or the way to a space was cut short by the join, or what the round opened
        # with: nothing is left to work.
        return _came_out(steps, part, printed, ways)
    return _left_over(steps, every, printed, ways)


def _ringed(
    steps: tuple[Step, ...], worked: Worked, printed: Sequence[Printed], ways: Ways
) -> Judged:
    kinds = compared(printed, worked, ways.terms)
    trouble: Trouble = "count" if all_agree(kinds) is False else ""
    return Judged(steps, worked, worked, None, None, kinds, trouble)


def _came_out(
    steps: tuple[Step, ...], worked: Worked, printed: Sequence[Printed], ways: Ways
) -> Judged:
    kinds = compared(printed, worked, ways.terms)
    uses, agree = worked.uses, all_agree(kinds)
    remarks: list[str] = []
    trouble: Trouble = ""
    leave = _leaves(steps)
    if leave is not None and leave.fits(worked.over) and not worked.short:
        if worked.over:
            remarks.append(f"leaves {worked.over} of {worked.has} unworked, as it says")
        elif not leave.at_most:
            remarks.append("says that some are left unworked, and none are")
    elif leave is not None and not worked.short:
        trouble = "over"
    elif worked.over and (_ends_seeking(steps) or _turns(steps)):
        uses = worked.has if _ends_seeking(steps) else uses
        if _turns(steps):
            remarks.append(f"turns with {worked.over} of {worked.has} unworked")
    elif worked.over:
        trouble = "over"
    elif worked.short and ways.spiral and agree is not False:
        remarks.append(
            f"runs {worked.short} past the marker: in a spiral that can be, in joined rounds not"
        )
    elif worked.short:
        trouble = "short"
    if not trouble and agree is False:
        trouble = "count"
    if not trouble and worked.implied and any(isinstance(s, Skip) for s in all_steps(steps)):
        remarks.append("a skip between the repeats goes without saying and is implied")
    return Judged(steps, worked, worked, uses, worked.has, kinds, trouble, remarks=tuple(remarks))


def _left_over(
    steps: tuple[Step, ...],
    every: dict[Reading, Worked],
    printed: Sequence[Printed],
    ways: Ways,
) -> Judged:
    """A repeat to the end that leaves places over: which reading the printed counts bear out."""
    kinds = {way: compared(printed, worked, ways.terms) for way, worked in every.items()}
    fits = tuple(
        way for way in READINGS if printed and all_agree(kinds[way]) and not every[way].short
    )
    trouble: Trouble = ""
    if not printed:
        taken = ways.unprinted
        trouble = "short" if every[taken].short else ""
    elif fits:
        taken = fits[0]
        trouble = "left" if taken == "whole" else ""
    else:
        taken, trouble = "whole", "count"
    says_end = _says_end(steps)
    if says_end and trouble in ("", "left"):
        trouble = "end"
    worked = every[taken]
    return Judged(
        steps,
        worked,
        every["part"],
        worked.uses,
        worked.has,
        kinds[taken],
        trouble,
        tuple((way, every[way]) for way in ("whole", "part", "plain")),
        fits,
        (_left_over_words(every, fits, printed, says_end=says_end),),
    )


def _says_end(steps: Sequence[Step]) -> bool:
    """Whether the text says how many places stay behind its repeat, so that stopping inside the
    repeat would contradict it. A figure left open is told of as such."""
    if figure_of(steps) is not None:
        return False
    return any(isinstance(step, Repeat) and step.times is None and step.left for step in steps)


def _left_over_words(
    every: dict[Reading, Worked],
    fits: tuple[Reading, ...],
    printed: Sequence[Printed],
    *,
    says_end: bool,
) -> str:
    over = every["whole"].over_in_repeat
    part, plain, whole = (every[way].makes for way in READINGS)
    counts = f"{part} if it stops inside the repeat"
    counts += "" if plain == part else f", {plain} with one plain stitch in each"
    counts += f", {whole} if they are left unworked"
    text = f"the repeat leaves {over} over: {counts}"
    if not printed:
        return text
    said = printed[0].number
    if fits and says_end:
        ways = {"part": "stopping inside", "plain": "plain stitches", "whole": "whole repeats"}
        return f"{text}; the printed {said} would take {ways[fits[0]]}"
    if "part" in fits:
        return f"{text}; the printed {said} bears out stopping inside"
    if "plain" in fits:
        return f"{text}; the printed {said} bears out plain stitches"
    if fits:
        return f"{text}; the printed {said} counts whole repeats only"
    return f"{text}; the printed {said} fits none of them"


def _ends_seeking(steps: Sequence[Step]) -> bool:
    """Whether the last stitch goes into a space or the middle of a figure, so that what stands
    behind it is passed over."""
    for step in reversed(steps):
        match step:
            case Repeat():
                return _ends_seeking(step.steps)
            case Work() | Into():
                return step.target in ("space", "middle")
            case Together() | Skip():
                return False
            case _:
                continue
    return False


def _leaves(steps: Sequence[Step]) -> Leave | None:
    return next((step for step in steps if isinstance(step, Leave)), None)


def _turns(steps: Sequence[Step]) -> bool:
    return any(isinstance(s, Turn) for s in steps) and not any(isinstance(s, Join) for s in steps)


def _habits(
    steps: tuple[Step, ...], first: Judged, below: Below
) -> Iterator[tuple[tuple[Step, ...], str]]:
    """Other things the words usually mean, with what to say about it."""
    paired = _chain_in_pair(steps)
    if paired is not None:
        literal = first.worked.makes
        yield (
            paired,
            f"as written it makes {literal} ({literal + 2} with the chain beside a first pair); "
            "taken as meant: the opening chain is one of its pair",
        )
    begun = _begun_decrease(steps)
    if begun is not None:
        yield (
            begun,
            f"as written it makes {first.worked.makes}; taken as meant: the opening chain is the "
            "first leg of its decrease",
        )
    if not any(place.group for place in below.places):
        return  # without a figure to pass over, a skip that is not written is not meant
    for at, step in enumerate(steps):
        if not isinstance(step, Repeat) or not any(isinstance(s, Into) for s in step.steps):
            continue
        if isinstance(step.steps[-1], Skip):
            continue
        for skip in sorted({s.n for s in step.steps if isinstance(s, Skip)}):
            inner = replace(step, steps=(*step.steps, Skip(skip)))
            yield (
                (*steps[:at], inner, *steps[at + 1 :]),
                f"a skip of {skip} between the repeats is not written; implied, for the figure "
                "closes only if it is there",
            )


def _chain_in_pair(steps: tuple[Step, ...]) -> tuple[Step, ...] | None:
    """ "Ch 3, 2 dc in every dc" with the chain as one of the first pair."""
    at = next((i for i, s in enumerate(steps) if isinstance(s, StartChain)), None)
    if at is None or at + 1 >= len(steps):
        return None
    chain, second = steps[at], steps[at + 1]
    if not isinstance(chain, StartChain) or chain.stands_for is None:
        return None
    pair = second
    if isinstance(pair, Repeat) and pair.times is None and len(pair.steps) == 1:
        pair = pair.steps[0]
    elif not (isinstance(pair, Into) and pair.times is None):
        return None
    if not isinstance(pair, Into) or pair.target != "next" or pair.name is not None:
        return None
    if len(pair.parts) != 1 or not isinstance(pair.parts[0], Several) or pair.parts[0].n < 2:
        return None
    rest = Into((replace(pair.parts[0], n=pair.parts[0].n - 1),), 1, "same")
    return (*steps[: at + 1], rest, *steps[at + 1 :])


def _begun_decrease(steps: tuple[Step, ...]) -> tuple[Step, ...] | None:
    """ "Ch 2, dc in next st, *dc2tog" with the chain as a leg of a first dc2tog, where the text
    does not say what the chain is."""
    at = next((i for i, s in enumerate(steps) if isinstance(s, StartChain)), None)
    match steps[at : at + 2] if at is not None else ():
        case [StartChain(open=True), Work(stitch=Stitch() as stitch, n=int(legs), target="next")]:
            pass
        case [StartChain(open=True), Together(stitch=stitch, legs=legs, times=1)]:
            pass
        case _:
            return None
    first = Together(stitch, legs + 1, 1)
    rest = steps[at + 2 :] if at is not None else ()
    alike = any(isinstance(s, Together) and replace(s, times=1) == first for s in all_steps(rest))
    return (first, *rest) if alike else None


def _whole_figures(steps: Sequence[Step], judged: Judged) -> bool:
    """Whether a round stopped in the skip at the end of its last repeat: all figures are whole."""
    made = judged.likely.groups
    if not made:
        return False
    per_repeat: dict[str, int] = {}
    for step in all_steps(steps):
        if isinstance(step, Into) and step.name is not None:
            per_repeat[step.name] = per_repeat.get(step.name, 0) + (step.times or 1)
    shares = {made[name] / n for name, n in per_repeat.items()}
    return len(shares) == 1 and next(iter(shares)).is_integer()
