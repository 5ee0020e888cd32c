"""A decrease that the opening chain begins: "ch 2, dc in next st (beg dc2tog made)"."""

from __future__ import annotations

from .reader_error import ReadError
from .reader_items import Mark
from .reader_lexer import Decrease
from .reader_state import Node
from .steps import Chain, Stitch, Together, Work


def begin_decrease(nodes: list[Node], mark: Mark) -> None:
    """The chain is the first leg, over the first place, and what follows it the others; of a
    decrease worked in full the remark says nothing new."""
    meant = mark.meaning
    assert isinstance(meant, Decrease)
    match nodes:
        case [*_, Together(stitch=stitch, legs=legs)] if Decrease(stitch, legs) == meant:
            pass
        case [Chain(), Work(stitch=Stitch() as stitch, n=int(legs), target="next")] | [
            Chain(),
            Together(stitch=stitch, legs=legs, times=1),
        ] if Decrease(stitch, legs + 1) == meant:
            nodes[:] = [Together(stitch, meant.legs, 1)]
        case _:
            raise ReadError(f'"{mark.text}": no such decrease stands before it', mark.at + 1)
