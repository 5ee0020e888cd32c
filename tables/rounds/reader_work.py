"""A stitch, group, increase or decrease, with its numbers and its place, as steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .reader_error import ReadError
from .reader_items import Mark, Spot, WorkItem
from .reader_lexer import Decrease, Increase
from .reader_state import Bare, Node, State
from .steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Part,
    Picot,
    Repeat,
    Several,
    Spread,
    Step,
    Stitch,
    Target,
    Together,
    Work,
)
from .stepwise import endless
from .vocabulary import Figure


def with_loop(node: Node, spot: Spot | None, whole: Spot | None) -> Node:
    """The node with its stitches through one loop or about the post."""
    loop = (spot and spot.loop) or (whole and whole.loop) or None
    post = (spot and spot.post) or (whole and whole.post) or None

    def turned(stitch: Stitch | Bunch) -> Stitch | Bunch:
        if isinstance(stitch, Bunch) or stitch.name == "sl st":
            return stitch
        if post is not None:
            return replace(stitch, post=post)
        return replace(stitch, loop=loop) if loop is not None else stitch

    match node:
        case Bare() | Work():
            return replace(node, stitch=turned(node.stitch))
        case Together():
            one = turned(node.stitch)
            return replace(node, stitch=one) if isinstance(one, Stitch) else node
        case Into():
            return replace(node, parts=tuple(
                replace(p, stitch=turned(p.stitch)) if isinstance(p, Several) else p
                for p in node.parts
            ))  # fmt: skip
        case _:
            return node


def parts_of_steps(inner: Sequence[Step], at: int) -> tuple[Part, ...]:
    """The steps of a bracket as what is worked into one place."""
    parts: list[Part] = []
    for step in inner:
        match step:
            case Work(stitch=stitch, n=int(n), target="next"):
                parts.append(Several(stitch, n))
            case Into(parts=more, times=1):
                parts.extend(more)
            case Chain() | Picot():
                parts.append(step)
            case Repeat(steps=again, times=int(times), more=False) if times <= 100:
                parts.extend(parts_of_steps(again, at) * times)
            case _:
                raise ReadError("that cannot all be worked into one place", at + 1)
    return tuple(parts)


def worked(state: State, item: WorkItem, spot: Spot | None) -> list[Node]:
    """A stitch, group, increase or decrease with its numbers and its place as steps."""
    thing, lead = item.thing, item.lead
    times = item.often.n if item.often is not None else item.after
    if item.often is not None and item.after is not None:
        times = item.after * item.often.n
    if lead == 0 or times == 0:
        raise ReadError("none of a stitch", item.at + 1)
    if spot is not None and spot.kind == "loop":
        spot = None
    match thing:
        case Decrease():
            if spot is not None and spot.kind in ("same", "space", "middle", "ring"):
                return _drawn_up(state, thing, item, times, spot)
            return [_together(state, thing, lead, times, spot, item.at)]
        case Increase():
            stitch = thing.stitch or state.usual(item.at)
            parts: tuple[Part, ...] = (Several(stitch, thing.n),)
            return _grouped(state, parts, None, lead, times, spot, item.at)
        case Figure():
            return _grouped(state, thing.parts, thing.name, lead, times, spot, item.at)
        case Picot():
            return [thing] * min(times or lead or 1, 100)
        case _:
            return _stitches(state, thing, item, times, spot)


def _drawn_up(
    state: State, thing: Decrease, item: WorkItem, times: int | None, spot: Spot
) -> list[Node]:
    """Legs drawn together from one place are a cluster: "dc3tog in same st"."""
    bunch = Bunch("cluster", thing.stitch or state.usual(item.at), thing.legs)
    return _stitches(state, bunch, item, times, spot)


def _together(
    state: State,
    thing: Decrease,
    lead: int | None,
    times: int | None,
    spot: Spot | None,
    at: int,
) -> Step:
    stitch = thing.stitch or state.usual(at)
    n: int | None = times or lead or 1
    if spot is not None and spot.kind == "all":
        n = None
    elif spot is not None and spot.kind == "next":
        if spot.n == 1 and not spot.each and times is None and lead is None and thing.legs > 1:
            # "dc3tog in next st" draws its legs up from one place
            why = f"{thing.legs} together need {thing.legs} stitches"
            raise ReadError(f"{why}; {thing.legs} legs of one stitch are a cluster", at + 1)
        if spot.n is not None and spot.n % thing.legs == 0 and times is None and lead is None:
            n = spot.n // thing.legs
        elif spot.n != 1:
            raise ReadError("the stitches do not divide into the decreases", at + 1)
    elif spot is not None:
        raise ReadError("a decrease is worked over the next stitches", at + 1)
    return Together(stitch, thing.legs, n)


def _grouped(
    state: State,
    parts: tuple[Part, ...],
    name: str | None,
    lead: int | None,
    times: int | None,
    spot: Spot | None,
    at: int,
) -> list[Node]:
    many = (lead or 1) * (times or 1)
    if spot is None:
        target: Target = "ring" if state.ring else "next"
        return [Into(parts, many, target, name)]
    if lead not in (None, 1) and spot.kind == "next" and not spot.each and spot.n == lead:
        lead = 1
    return into(state, parts, name, spot, (lead or 1) * (times or 1), at)


def into(
    state: State, parts: tuple[Part, ...], name: str | None, spot: Spot, times: int, at: int
) -> list[Node]:
    """A group into the places a spot says."""
    if spot.left and spot.n is not None:
        state.out.remaining = spot.n
    match spot.kind:
        case "next" | "more":
            if times > 1 and (spot.n or 1) > 1:
                raise ReadError("it does not say how many go into each stitch", at + 1)
            return [Into(parts, (spot.n or 1) * times, "next", name)]
        case "all":
            return [Into(parts, None, "next", name)]
        case "same":
            return [_same_place(parts, name)] * min(times, 100)
        case "ring":
            return [Into(parts, times, "ring", name)]
        case "space" | "middle":
            n = None if spot.n is None else spot.n * times
            return [Into(parts, n, spot.kind, name)]
        case "nth":
            return [_every(state, parts, name, spot)]
    raise ReadError("it does not say in which stitch", at + 1)


def _same_place(parts: tuple[Part, ...], name: str | None) -> Step:
    only = parts[0] if len(parts) == 1 and name is None else None
    if isinstance(only, Several):
        return Work(only.stitch, only.n, "same")
    return Into(parts, 1, "same", name)


def _every(state: State, parts: tuple[Part, ...], name: str | None, spot: Spot) -> Step:
    """ "Every other st" is every second one, or, after the round has been opened, every one that
    is left: then it is the others."""
    assert spot.nth is not None
    only = parts[0] if len(parts) == 1 else None
    if spot.nth.other and state.begun:
        return Into(parts, None, "next", name)
    plain = None
    if isinstance(only, Several) and only.n > 1 and isinstance(only.stitch, Stitch):
        plain = only.stitch
    return EveryNth(parts, spot.nth.nth, plain)


def _stitches(
    state: State, thing: Stitch | Bunch, item: WorkItem, times: int | None, spot: Spot | None
) -> list[Node]:
    lead, at = item.lead, item.at
    if item.more:
        return [Work(thing, lead or times or 1, "same")]
    if spot is None:
        if lead is not None and times is not None:
            return [Into((Several(thing, lead),), times)] if lead > 1 else [Work(thing, times)]
        if lead is None and times is not None:
            return [Work(thing, times, "ring" if state.ring else "next")]
        return [Bare(thing, lead or 1, lead is not None)]
    if spot.kind == "ring":
        return [Work(thing, (lead or 1) * (times or 1), "ring")]
    if spot.kind == "next" and not spot.each and lead is not None and 2 < lead == spot.n:
        lead = None  # "12 sc in next 12 sts"
    if spot.kind == "all" and not spot.each and lead is not None and lead > 3:
        raise ReadError(f"{lead} in each stitch?", at + 1)
    if lead not in (None, 1):
        assert lead is not None
        return into(state, (Several(thing, lead),), None, spot, times or 1, at)
    return [_one_each(state, thing, times, spot, at)]


def _one_each(state: State, thing: Stitch | Bunch, times: int | None, spot: Spot, at: int) -> Step:
    match spot.kind:
        case "next" | "more":
            if times is not None and spot.n != 1:
                raise ReadError("two numbers for one stitch", at + 1)
            return Work(thing, times or spot.n)
        case "all":
            if times is not None:
                raise ReadError("a number and the whole round", at + 1)
            return Work(thing, None)
        case "same":
            return Work(thing, times or 1, "same")
        case "space" | "middle":
            return Work(thing, spot.n, spot.kind)
        case "nth":
            made = _every(state, (Several(thing),), None, spot)
            return Work(thing, None) if isinstance(made, Into) else made
    raise ReadError("it does not say in which stitch", at + 1)


def merged(before: Node, node: Node, chains: int | None, at: int) -> Node | None:
    """Two phrases that are one step: "2 hdc in every third st, hdc in all others" (or the other
    way about), and "sc in each dc and 2 sc in each ch-2 sp", one in every place. ``chains``: how
    many each space has; only as many stitches as that can be told so. None: they stay two."""
    if isinstance(node, EveryNth) and _plain_all(before):
        return replace(node, plain=_plain_all(before))
    if isinstance(before, EveryNth) and _plain_all(node):
        return replace(before, plain=_plain_all(node))
    if isinstance(before, Spread):
        stitch = _plain_all(node)
        return replace(before, stitch=stitch) if stitch is not None else None
    if _each_space(node) == _each_space(before):
        return None
    space, plain = (node, before) if _each_space(node) else (before, node)
    stitch = _plain_all(plain)
    if stitch is None:
        return None
    if chains is None or _stitches_in(space) != (stitch, chains):
        raise ReadError("stitches and spaces cannot be told apart here", at + 1)
    return plain


def spread(state: State, nodes: list[Node], mark: Mark, depth: int) -> None:
    """Increases or decreases spread over the round: over the plain stitches just said, if they
    go all round."""
    assert isinstance(mark.meaning, int)
    plain = plain_round_of(nodes[-1]) if nodes else None
    if plain is not None:
        nodes[-1] = Spread(mark.meaning, plain)
        return
    if depth or any(not isinstance(n, Bare) and endless(n) for n in nodes):
        raise ReadError("every stitch is used before the changes are spread", mark.at + 1)
    nodes.append(Spread(mark.meaning, state.usual(mark.at)))


def plain_round_of(node: Node) -> Stitch | None:
    """The stitch of "sc around", or of a bare "sc" without a number."""
    if isinstance(node, Bare):
        return node.stitch if isinstance(node.stitch, Stitch) and not node.said else None
    return _plain_all(node)


def _plain_all(node: Node) -> Stitch | None:
    """The stitch that is worked into every place, if that is what a step does."""
    match node:
        case Work(stitch=Stitch() as stitch, n=None, target="next"):
            return stitch
        case _:
            return None


def _each_space(node: Node) -> bool:
    match node:
        case Work(n=None, target="space") | Into(times=None, target="space"):
            return True
        case _:
            return False


def _stitches_in(node: Node) -> tuple[Stitch | Bunch | None, int]:
    """What is worked into each space: a stitch, and how many."""
    match node:
        case Work(stitch=stitch):
            return stitch, 1
        case Into(parts=(Several(stitch=stitch, n=n),)):
            return stitch, n
        case _:
            return None, 0
