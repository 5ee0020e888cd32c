"""Where a round ends before the round below does: at the last stitches, or with some unworked."""

from __future__ import annotations

from dataclasses import replace

from .reader_error import ReadError
from .reader_items import Mark
from .reader_kinds import count
from .reader_state import Bare, Node
from .steps import Into, Join, Leave, Repeat, Step, Together, Turn, Work
from .stepwise import endless


def to_last(nodes: list[Node], mark: Mark) -> None:
    """As in "sc in each st to last 2 sts"."""
    last = nodes[-1] if nodes else None
    assert isinstance(mark.meaning, int)
    if isinstance(last, Bare) and not last.said:
        last = Work(last.stitch, None)
    if isinstance(last, Work | Into | Together) and count(last) is None:
        one = replace(last, n=1) if isinstance(last, Work) else replace(last, times=1)
        nodes[-1] = Repeat((one,), left=mark.meaning)
        return
    raise ReadError("it does not say what is worked so far", mark.at + 1)


def omit_last(nodes: list[Node], mark: Mark) -> None:
    """The last time over, a repeat stops before its last stitch, and that place stays free unless
    the round's first stitch stands there."""
    last = nodes[-1] if nodes else None
    if isinstance(last, Repeat) and last.times is None and not last.left and len(last.steps) > 1:
        dropped = last.steps[-1]
        if isinstance(dropped, Work) and dropped.n == 1 and dropped.stitch == mark.meaning:
            nodes += [*last.steps[:-1], Leave(1, at_most=True)]
            return
    raise ReadError(f'"{mark.text}": it does not stand last in a repeat', mark.at + 1)


def leave(nodes: list[Node], mark: Mark) -> None:
    """So many left unworked are none of those "sc around" is worked into."""
    n = mark.meaning
    last = nodes[-1] if nodes else None
    if isinstance(n, int) and isinstance(last, Repeat) and last.times is None and not last.left:
        nodes[-1] = replace(last, left=n)
    elif isinstance(n, int) and isinstance(last, Work | Into | Together) and endless(last):
        to_last(nodes, mark)
    nodes.append(Leave(n if isinstance(n, int) else None))


def nothing_behind(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps, of which none may be worked behind what leaves the rest unworked."""
    at = next((i for i, step in enumerate(steps) if isinstance(step, Leave)), len(steps))
    if all(isinstance(step, Leave | Join | Turn) for step in steps[at:]):
        return steps
    raise ReadError("stitches stand behind what is left unworked")
