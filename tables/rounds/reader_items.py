"""A parsed instruction as items: what is worked, where, how often, before repeats are settled.

The grammar's trees end here. An item knows its column; ``Spot`` is a place in the round as the
instruction says it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal, cast

from lark import Lark, Token, Tree, UnexpectedInput
from lark.lexer import Lexer

from .reader_error import ReadError
from .reader_lexer import Decrease, Increase, Lexicon, Nth, Often, Space, Word, words
from .steps import Bunch, Loop, Picot, Post, Stitch
from .vocabulary import Figure

Kind = Literal["next", "all", "same", "space", "ring", "middle", "nth", "more", "loop"]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a step is worked. ``n`` places (None: all there are); ``each`` said so; ``left``: said
    to be what is left; ``hook``: the chain counted from the hook; ``chains``: how many
    chains each space has."""

    kind: Kind
    n: int | None = 1
    each: bool = False
    left: bool = False
    loop: Loop | None = None
    post: Post | None = None
    nth: Nth | None = None
    hook: int = 0
    space: bool = False
    chains: int | None = None


Worked = Stitch | Bunch | Picot | Figure | Increase | Decrease


@dataclass(frozen=True, slots=True)
class WorkItem:
    """``lead`` stitches (said before), ``after`` (said after) of a thing, somewhere, so often."""

    thing: Worked
    lead: int | None
    after: int | None
    more: bool
    spot: Spot | None
    often: Often | None
    at: int


@dataclass(frozen=True, slots=True)
class ChainItem:
    """Chains, with what is said of them in passing."""

    n: int
    say: str | None
    at: int


@dataclass(frozen=True, slots=True)
class SkipItem:
    """Places passed over; ``first``: said to be the first of the round, or the join's."""

    n: int
    space: bool
    at: int
    first: bool = False


@dataclass(frozen=True, slots=True)
class SpotItem:
    """A place said by itself."""

    spot: Spot
    at: int


@dataclass(frozen=True, slots=True)
class BracketItem:
    """What stands in brackets."""

    items: tuple[Item, ...]
    at: int


@dataclass(frozen=True, slots=True)
class Mark:
    """A star, a word of repeating, a join, a turn ...: ``kind`` is the grammar's terminal."""

    kind: str
    meaning: object
    text: str
    at: int


Item = WorkItem | ChainItem | SkipItem | SpotItem | BracketItem | Mark


class _Ready(Lexer):
    """The words are ready: the lexer hands them on."""

    def __init__(self, conf: object) -> None:
        pass

    def lex(self, lexer_state: Any, parser_state: Any = None) -> Iterator[Token]:
        """The words one by one."""
        yield from cast("Sequence[Token]", lexer_state)


@cache
def _parser() -> Lark:
    grammar = (files("evenround.tables.rounds") / "rounds.lark").read_text(encoding="utf-8")
    return Lark(grammar, parser="lalr", lexer=_Ready, maybe_placeholders=False)


def items_of(text: str, lexicon: Lexicon) -> tuple[Item, ...]:
    """The items of one instruction. Raises ReadError with the column."""
    ready = words(text, lexicon)
    try:
        tree = _parser().parse(cast("str", ready))
    except UnexpectedInput as found:
        token = getattr(found, "token", None)
        at = getattr(token, "start_pos", None)
        if token is None or token.type == "$END" or at is None:
            raise ReadError("the instruction stops short", len(text.rstrip()) + 1) from None
        raise ReadError(f'"{token}" does not fit here', at + 1) from None
    return _items(cast("Tree[Token]", tree.children[0]))


def _items(tree: Tree[Token]) -> tuple[Item, ...]:
    return tuple(_item(child) for child in tree.children)


def _item(node: Tree[Token] | Token) -> Item:
    if isinstance(node, Token):
        return Mark(node.type, _meaning(node), str(node), node.start_pos or 0)
    at = _start(node)
    match node.data:
        case "work":
            return _work(node, at)
        case "place":
            return SpotItem(_spot(node), at)
        case "chain":
            return _chain(node, at)
        case "skip":
            return _skip(node, at)
        case _:
            inner = next(c for c in node.children if isinstance(c, Tree))
            return BracketItem(_items(inner), at)


def _meaning(token: Token) -> Any:
    return token.meaning if isinstance(token, Word) else str(token)


def _start(node: Tree[Token]) -> int:
    first = next(node.scan_values(lambda v: isinstance(v, Token)), None)
    return 0 if first is None else first.start_pos or 0


def _number(node: Tree[Token]) -> Any:
    token = node.children[0]
    assert isinstance(token, Token)
    return _meaning(token)


def _work(node: Tree[Token], at: int) -> WorkItem:
    thing: Worked | None = None
    found: dict[str, Any] = {}
    for child in node.children:
        if isinstance(child, Token):
            thing = _meaning(child)
        elif child.data == "place":
            found["spot"] = _spot(child)
        else:
            found[str(child.data)] = _number(child)
    assert thing is not None
    return WorkItem(
        thing,
        found.get("lead"),
        found.get("after"),
        "more" in found,
        found.get("spot"),
        found.get("often"),
        at,
    )


def _chain(node: Tree[Token], at: int) -> ChainItem:
    n, say = 1, None
    for child in node.children:
        if isinstance(child, Tree):
            n = _number(child)
        elif child.type == "SAY":
            say = str(child)
    return ChainItem(n, say, at)


def _skip(node: Tree[Token], at: int) -> SkipItem:
    n, space = 1, False
    for measured in (c for c in node.children if isinstance(c, Tree)):
        for child in measured.children:
            if isinstance(child, Tree):
                n = _number(child)
            elif child.type == "SPACE":
                meaning = _meaning(child)
                space, n = True, n * (meaning.chains or 1)
            elif child.type == "GROUP" and isinstance(_meaning(child), Figure):
                raise ReadError("say how many stitches to skip, not figures", at + 1)
    kinds = {child.type for child in node.children if isinstance(child, Token)}
    for child in node.children:
        if kinds == {"SKIP", "SAME"}:
            break  # the place the round was joined in
        if isinstance(child, Token) and child.type in ("EACH", "SAME", "NTH", "MIDDLE", "OTHERS"):
            raise ReadError("say how many stitches to skip", at + 1)
    return SkipItem(n, space, at, bool(kinds & {"FIRST", "SAME"}) and n == 1)


@dataclass(slots=True)
class _Said:
    """The words of a place, sorted."""

    kinds: set[str]
    howmany: int | None
    units: list[Token]
    loop: Loop | None = None
    post: Post | None = None
    nth: Nth | None = None
    ring: int = 0


def _sorted(node: Tree[Token]) -> _Said:
    said = _Said(set(), None, [])
    for token in node.scan_values(lambda v: isinstance(v, Token)):
        said.kinds.add(token.type)
        meaning = _meaning(token)
        match token.type:
            case "NUM":
                said.howmany = meaning
            case "LOOP":
                said.loop = meaning
            case "POST":
                said.post = meaning
            case "NTH":
                said.nth = meaning
            case "RING":
                said.ring = meaning
            case "UNIT" | "STITCH" | "SPACE" | "GROUP" | "CH" | "AND_UNIT":
                said.units.append(token)
    return said


def _spot(node: Tree[Token]) -> Spot:
    said = _sorted(node)
    return _where(said, _start(node))


def _where(said: _Said, at: int) -> Spot:
    kinds, n = said.kinds, said.howmany
    left = bool(kinds & {"OTHERS", "LAST"})
    every = _every(said)
    each = "EACH" in kinds

    def spot(kind: Kind, n: int | None = 1, **more: Any) -> Spot:
        return Spot(kind, n, each, left, said.loop, said.post, **more)

    if "RING" in kinds:
        return spot("ring", hook=said.ring)
    if "SAME" in kinds:
        return spot("same", space="SPACE" in kinds)
    if "NTH" in kinds:
        return spot("nth", None, nth=said.nth)
    if "AND_UNIT" in kinds and not _each_place(said, every):
        raise ReadError("how many in each stitch and how many in each space has to be said", at + 1)
    if "AND_UNIT" in kinds:
        return spot("all", None)
    count = None if every else (n or 1)
    if "MIDDLE" in kinds or _in_figure(said):
        return spot("middle", count)
    space = next((u for u in said.units if u.type == "SPACE"), None)
    if space is not None:
        meaning = _meaning(space)
        assert isinstance(meaning, Space)
        if meaning.each:
            return spot("space", None, chains=meaning.chains)
        return spot("space", count, chains=meaning.chains)
    if "MORE" in kinds:
        return spot("more", n or 1)
    if every:
        return spot("all", None)
    if kinds <= {"IN", "LOOP", "POST"}:
        if said.loop is None and said.post is None:
            raise ReadError("it does not say in which stitch", at + 1)
        return spot("loop")
    return spot("next", n or 1)


def _every(said: _Said) -> bool:
    """Whether every place is meant: "in each st", "in all others", "around"."""
    if said.howmany is not None or said.kinds & {"NEXT", "FIRST", "MORE"}:
        return False
    return bool(said.kinds & {"EACH", "END", "OTHERS"})


def _each_place(said: _Said, every: bool) -> bool:
    """Whether one in each stitch and each space is one in every place: spaces of one chain."""
    return every and all(
        (_meaning(u).chains or 1) == 1 for u in said.units if u.type in ("AND_UNIT", "SPACE")
    )


def _in_figure(said: _Said) -> bool:
    """A figure named as a place is worked into its middle."""
    return any(u.type == "GROUP" and isinstance(_meaning(u), Figure) for u in said.units)
