"""Items of an instruction into steps: what is worked where, repeats closed, loose words settled.

A bare "2 dc" is two in one stitch or one in each of the next two; beside a plain stitch of the
same kind it can only be the first ("dc 3, 2 dc" would else be five plain), beside a word for an
increase only the second. ``Settings.pairs`` overrules that for a pattern whose counts say so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from .counter import DEEPEST
from .reader_chains import ChainRules, Saying, first_stitch, foot_is_first, saying
from .reader_error import ReadError
from .reader_items import (
    BracketItem,
    ChainItem,
    Item,
    Mark,
    SkipItem,
    Spot,
    SpotItem,
    WorkItem,
    items_of,
)
from .reader_lexer import Decrease, Increase, Lexicon, Often
from .steps import (
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
    StartChain,
    Step,
    Stitch,
    Target,
    Together,
    Turn,
    Work,
)
from .vocabulary import Figure

Pairs = Literal["auto", "increase", "plain"]


@dataclass(frozen=True)
class Settings:
    """How an instruction is read: the words, what opening chains are, and what was settled for
    the pattern as a whole. ``usual`` is the stitch a bare increase is of; ``first`` the round
    that begins the piece; ``inner`` a part of a round, whose first chains open nothing."""

    lexicon: Lexicon
    chains: ChainRules = field(default_factory=ChainRules)
    usual: Stitch = field(default_factory=lambda: Stitch("sc"))
    pairs: Pairs = "auto"
    other_is_second: bool | None = None
    first: bool = False
    inner: bool = False


@dataclass
class Read:
    """One instruction read. ``sayings``: what it says in passing about its chain; ``doubtful``:
    it holds a pair that could be meant either way; ``remaining``: a group said to be what is
    left; ``ring``: chains closed into a ring before the round."""

    steps: tuple[Step, ...]
    sayings: list[Saying] = field(default_factory=list)
    doubtful: bool = False
    other: bool = False
    remaining: int | None = None
    ring: int | None = None


@dataclass(frozen=True, slots=True)
class _Bare:
    """``n`` of a stitch with no place: ``said`` whether a number stood there at all."""

    stitch: Stitch | Bunch
    n: int
    said: bool = True


_Node = Step | _Bare


def read_instruction(text: str, settings: Settings) -> Read:
    """One instruction as steps. Raises ReadError with the column."""
    return _Reader(settings).read(items_of(text, settings.lexicon))


class _Reader:
    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.out = Read(())
        self.ring = False
        self.loop: Spot | None = None
        self.stitches: list[tuple[int, Stitch]] = []
        self.last: Stitch | Bunch | None = None
        self.hook = 0
        self.begun = False

    def read(self, items: tuple[Item, ...]) -> Read:
        self.note_stitches(items)
        nodes = self.level(items, 0)
        nodes = self.opening(nodes)
        steps = self.settle(nodes, top=True)
        self.out.steps = foot_is_first(steps)
        return self.out

    def note_stitches(self, items: Sequence[Item]) -> None:
        for item in items:
            if isinstance(item, BracketItem):
                self.note_stitches(item.items)
            elif isinstance(item, WorkItem) and isinstance(item.thing, Stitch):
                self.stitches.append((item.at, item.thing))

    def usual(self, at: int) -> Stitch:
        """The stitch an increase or decrease without one is of: the nearest before it, else the
        nearest after, slip stitches aside."""
        real = [(where, s) for where, s in self.stitches if s.name != "sl st"]
        before = [s for where, s in real if where < at]
        after = [s for where, s in real if where > at]
        found = before[-1] if before else (after[0] if after else self.settings.usual)
        return Stitch(found.name)

    def opened(self) -> bool:
        """Whether something stands in the round already that "other" can be other than."""
        return self.begun

    # --- one level of brackets ------------------------------------------------------------

    def level(self, items: Sequence[Item], depth: int) -> list[_Node]:
        if depth > DEEPEST:
            raise ReadError(f"repeats more than {DEEPEST} deep")
        return _Level(self, items, depth).run()

    def opening(self, nodes: list[_Node]) -> list[_Node]:
        """The chains a round opens with, after slip stitches that only move along."""
        if self.settings.inner:
            return nodes
        for at, node in enumerate(nodes):
            if isinstance(node, Turn | Join):
                continue
            if isinstance(node, Chain) and (at == 0 or not self._opens_work(nodes[:at])):
                return [*nodes[:at], *self._opened(node, nodes[at + 1 :]), *nodes[at + 1 :]]
            if not (isinstance(node, Work) and node.stitch == Stitch("sl st")):
                return nodes
        return nodes

    @staticmethod
    def _opens_work(before: list[_Node]) -> bool:
        return any(not isinstance(n, Turn | Join | Work) for n in before)

    def _opened(self, chain: Chain, after: list[_Node]) -> tuple[Step, ...]:
        rules = self.settings.chains
        for said in self.out.sayings:
            rules = rules.with_saying(said)
        hook = self.hook if (rules.about(chain.n) is None) else 0
        if 0 < hook <= 2:
            return (StartChain(chain.n),)
        return rules.opening(chain.n, self.main_stitch(after))

    def chain_may_count(self, n: int) -> bool:
        """Whether an opening chain of n counts, or is left open."""
        rules = self.settings.chains
        for said in self.out.sayings:
            rules = rules.with_saying(said)
        about = rules.about(n)
        return about is None or about.counts

    def main_stitch(self, nodes: list[_Node]) -> Stitch | None:
        for node in nodes:
            if isinstance(node, _Bare):
                stitch = node.stitch
                if isinstance(stitch, Stitch) and stitch.name == "sl st":
                    continue
                return Stitch(stitch.name if isinstance(stitch, Stitch) else stitch.stitch.name)
            found = first_stitch((_plain(node),))
            if found is not None:
                return found
        return None

    # --- settling loose words -------------------------------------------------------------

    def settle(self, nodes: list[_Node], top: bool = False) -> tuple[Step, ...]:
        """Bare stitches into steps, by what stands beside them."""
        if top:
            nodes = self.end_slip(nodes)
        working = [n for n in nodes if not isinstance(n, StartChain | Join | Turn)]
        steps: list[Step] = []
        for at, node in enumerate(nodes):
            if isinstance(node, _Bare):
                alone = len(working) == 1
                steps.append(self.bare(node, nodes, at, alone, top))
            else:
                steps.append(node)
        return tuple(steps)

    def end_slip(self, nodes: list[_Node]) -> list[_Node]:
        """A bare slip stitch that ends a round closes it, unless the round works others."""
        last = nodes[-1] if nodes else None
        if isinstance(last, Turn):
            return [*self.end_slip(nodes[:-1]), last]
        slips = [n for n in nodes if isinstance(n, _Bare) and n.stitch == Stitch("sl st")]
        if slips and isinstance(last, _Bare) and last in slips and not last.said:
            others = [n for n in slips if n is not last]
            if not others and len(nodes) > 1:
                return [*nodes[:-1], Join()]
        return nodes

    def bare(self, node: _Bare, nodes: list[_Node], at: int, alone: bool, top: bool) -> Step:
        if self.ring or (self.settings.first and top and alone and node.said and node.n > 2):
            return Work(node.stitch, node.n, "ring")
        if not node.said:
            whole = alone and top and not self.settings.inner
            return Work(node.stitch, None if whole else 1)
        if node.n == 1 or self.settings.pairs == "plain":
            self.out.doubtful |= node.n in (2, 3)
            return Work(node.stitch, node.n)
        if node.n in (2, 3):
            self.out.doubtful = True
            if self.is_increase(node, nodes, at, alone):
                return Into((Several(node.stitch, node.n),))
        return Work(node.stitch, node.n)

    def is_increase(self, node: _Bare, nodes: list[_Node], at: int, alone: bool) -> bool:
        if self.settings.pairs == "increase" or alone:
            return True
        beside = [nodes[i] for i in (at - 1, at + 1) if 0 <= i < len(nodes)]
        for other in beside:
            if isinstance(other, Work) and _same(other.stitch, node.stitch):
                return True
            if isinstance(other, _Bare) and _same(other.stitch, node.stitch):
                after = nodes[at + 1 : at + 2] == [other]
                return node.n < other.n or other.n == 1 or (node.n == other.n and not after)
        return False


def _plain(node: Step | _Bare) -> Step:
    assert not isinstance(node, _Bare)
    return node


def _same(one: Stitch | Bunch, other: Stitch | Bunch) -> bool:
    return isinstance(one, Stitch) and isinstance(other, Stitch) and one.name == other.name


@dataclass
class _Open:
    """A star that waits for its repeat."""

    sign: str
    since: int


class _Level:
    """One bracket's items, or the whole instruction's, worked off from left to right."""

    def __init__(self, reader: _Reader, items: Sequence[Item], depth: int) -> None:
        self.reader, self.items, self.depth = reader, items, depth
        self.at = 0
        self.nodes: list[_Node] = []
        self.stars: list[_Open] = []
        self.loop: Spot | None = None

    def run(self) -> list[_Node]:
        while self.at < len(self.items):
            item = self.items[self.at]
            self.at += 1
            match item:
                case WorkItem():
                    self.work(item)
                case ChainItem():
                    self.chain(item)
                case SkipItem():
                    self.nodes.append(Skip(item.n))
                case SpotItem():
                    self.place(item)
                case BracketItem():
                    self.bracket(item)
                case Mark():
                    self.mark(item)
        if self.stars:
            raise ReadError('a "*" is opened, but nothing says what is repeated', 1)
        return self.nodes

    def peek(self, ahead: int = 0) -> Item | None:
        at = self.at + ahead
        return self.items[at] if at < len(self.items) else None

    # --- stitches -------------------------------------------------------------------------

    def chain(self, item: ChainItem) -> None:
        if item.say is not None:
            said = saying(item.say.lower(), item.n, self.reader.settings.lexicon.terms)
            self.reader.out.sayings.append(said)
        if item.n < 1:
            raise ReadError("a chain of none", item.at + 1)
        if self.depth == 0 and not self.nodes and item.n > 1:
            self.reader.begun = self.reader.chain_may_count(item.n)
        self.nodes.append(Chain(item.n))

    def work(self, item: WorkItem, spot: Spot | None = None) -> None:
        spot = item.spot or spot
        if item.often is not None and item.often.more:
            raise ReadError('"more times" of what?', item.at + 1)
        made = worked(self.reader, item, spot)
        if self.loop is not None or (spot is not None and (spot.loop or spot.post)):
            made = [_with_loop(node, spot, self.loop) for node in made]
        self.remember(item, spot)
        if spot is not None and spot.kind != "ring":
            self.reader.begun = True
        for node in made:
            if isinstance(node, Work) and node.n is None and self.after_every_nth(node):
                continue
            self.nodes.append(node)

    def remember(self, item: WorkItem, spot: Spot | None) -> None:
        if isinstance(item.thing, Stitch | Bunch):
            self.reader.last = item.thing
        if spot is not None and spot.left and spot.n is not None:
            self.reader.out.remaining = spot.n
        if spot is not None and spot.kind == "ring":
            self.reader.hook = spot.hook

    def after_every_nth(self, node: Work) -> bool:
        """ "2 hdc in every third st, hdc in all others": the second tells what stands between."""
        before = self.nodes[-1] if self.nodes else None
        if isinstance(before, EveryNth) and isinstance(node.stitch, Stitch):
            self.nodes[-1] = replace(before, plain=node.stitch)
            return True
        return False

    # --- places said apart ----------------------------------------------------------------

    def place(self, item: SpotItem) -> None:
        spot = item.spot
        if spot.kind == "ring":
            self.reader.ring = True
            return
        if spot.kind == "loop":
            self.loop = spot
            return
        if self.repeat_all_so_far(item):
            return
        following = self.peek()
        if spot.kind not in ("more", "same") and isinstance(following, WorkItem | BracketItem):
            if isinstance(following, WorkItem) and following.spot is None:
                self.at += 1
                self.work(following, spot)
                return
            if isinstance(following, BracketItem) and not self.nodes_before():
                self.at += 1
                self.group(following, spot)
                return
        last = self.reader.last
        if last is None:
            raise ReadError("it does not say what to work here", item.at + 1)
        self.work(WorkItem(last, None, None, False, spot, None, item.at))

    def nodes_before(self) -> bool:
        return bool(self.nodes) and not isinstance(self.nodes[-1], StartChain | Chain | Skip)

    def repeat_all_so_far(self, item: SpotItem) -> bool:
        """ "..., all round" after stitches that have their places says the lot is repeated; that
        is not clear enough to be counted."""
        spot = item.spot
        if spot.kind == "all" and not spot.each and not spot.left and self.nodes:
            raise ReadError("it does not say from where the repeat begins", item.at + 1)
        return False

    # --- brackets -------------------------------------------------------------------------

    def bracket(self, item: BracketItem) -> None:
        following = self.peek()
        if isinstance(following, Mark) and following.kind == "STAR" and self.closing_star():
            self.at += 1
            following = self.peek()
        if isinstance(following, SpotItem) and _takes_group(following.spot):
            self.at += 1
            self.group(item, following.spot)
            return
        inner = self.reader.settle(self.reader.level(item.items, self.depth + 1))
        extent = self.extent()
        if extent is None and isinstance(following, Mark) and following.kind == "FROM_STAR":
            self.nodes.extend(inner)
            return
        if extent is None:
            raise ReadError("it does not say how often the bracket is worked", item.at + 1)
        self.repeat(inner, extent, item.at)

    def closing_star(self) -> bool:
        """A star right after a bracket that nothing opened: "(...)* to the end"."""
        return not self.stars

    def group(self, item: BracketItem, spot: Spot) -> None:
        """A bracket worked into one place."""
        inner = self.reader.settle(self.reader.level(item.items, self.depth + 1))
        parts = _parts(inner, item.at)
        often = self.peek()
        times = 1
        if isinstance(often, Mark) and often.kind == "TIMES":
            assert isinstance(often.meaning, Often)
            self.at += 1
            times = often.meaning.n
        self.nodes.extend(into(self.reader, parts, None, spot, times, item.at))

    # --- marks ----------------------------------------------------------------------------

    def mark(self, mark: Mark) -> None:
        match mark.kind:
            case "STAR":
                self.star(mark)
            case "FROM_STAR":
                self.from_star(mark)
            case "AGAIN":
                self.again(mark)
            case "JOIN":
                self.nodes.append(Join())
            case "TURN":
                self.nodes.append(Turn())
            case "MAKE_RING":
                assert isinstance(mark.meaning, int)
                self.reader.out.ring = mark.meaning
            case "MOVE":
                self.move()
            case "TIMES":
                self.often(mark)
            case "TO_LAST":
                self.to_last(mark)
            case _:
                raise ReadError(f'"{mark.text}" does not fit here', mark.at + 1)

    def move(self) -> None:
        """A slip to a space is a step of its own only where the next stitch goes into the same
        space; else the round simply begins there."""
        for item in self.items[self.at :]:
            if isinstance(item, WorkItem):
                if item.spot is not None and item.spot.kind == "same":
                    self.nodes.append(Work(Stitch("sl st"), 1, "space"))
                return
            if isinstance(item, BracketItem):
                following = self.items[self.items.index(item) + 1 :]
                after = following[0] if following else None
                if isinstance(after, SpotItem) and after.spot.kind == "same":
                    self.nodes.append(Work(Stitch("sl st"), 1, "space"))
                return

    def often(self, mark: Mark) -> None:
        """ "once", "twice" and "N times" after a bare stitch said apart."""
        assert isinstance(mark.meaning, Often)
        last = self.nodes[-1] if self.nodes else None
        if mark.meaning.more or not isinstance(last, Into | Together):
            raise ReadError(f'"{mark.text}" of what?', mark.at + 1)
        self.nodes[-1] = replace(last, times=mark.meaning.n)

    def to_last(self, mark: Mark) -> None:
        """ "sc in each st to last 2 sts"."""
        last = self.nodes[-1] if self.nodes else None
        assert isinstance(mark.meaning, int)
        if isinstance(last, _Bare) and not last.said:
            last = Work(last.stitch, None)
        if isinstance(last, Work | Into | Together) and _count(last) is None:
            one = replace(last, n=1) if isinstance(last, Work) else replace(last, times=1)
            self.nodes[-1] = Repeat((one,), left=mark.meaning)
            return
        raise ReadError("it does not say what is worked so far", mark.at + 1)

    def star(self, mark: Mark) -> None:
        sign = mark.text
        open_ = next((s for s in reversed(self.stars) if s.sign == sign), None)
        if open_ is None:
            self.stars.append(_Open(sign, len(self.nodes)))
            return
        self.stars.remove(open_)
        inner = self.cut(open_.since, mark.at)
        extent = self.extent()
        if extent is None:
            following = self.peek()
            if following is None or (isinstance(following, Mark) and following.kind == "JOIN"):
                extent = Repeat(())
            else:
                raise ReadError("it does not say how often it is repeated", mark.at + 1)
        self.repeat(inner, extent, mark.at)

    def from_star(self, mark: Mark) -> None:
        sign = str(mark.meaning)
        open_ = next((s for s in reversed(self.stars) if s.sign == sign), None)
        if open_ is None and mark.text.rstrip().endswith("*") and mark.text.count("*") == 1:
            # "repeat *...* six times": the star opens
            self.stars.append(_Open(sign, len(self.nodes)))
            return
        if open_ is None:
            raise ReadError(f'there is no "{sign}" to repeat from', mark.at + 1)
        del self.stars[self.stars.index(open_) :]
        inner = self.cut(open_.since, mark.at)
        extent = self.extent(after_word=True) or Repeat(())
        self.repeat(inner, extent, mark.at)

    def again(self, mark: Mark) -> None:
        """ "then repeat five times": all that the round has said so far."""
        extent = self.extent(after_word=True)
        if extent is None:
            raise ReadError("it does not say how often it is repeated", mark.at + 1)
        start = sum(isinstance(n, StartChain) for n in self.nodes[:1])
        if self.depth == 0 and self.nodes and isinstance(self.nodes[0], Chain):
            start = 1
        self.repeat(self.cut(start, mark.at), extent, mark.at)

    def cut(self, since: int, at: int) -> tuple[Step, ...]:
        inner = self.nodes[since:]
        del self.nodes[since:]
        if not inner:
            raise ReadError("nothing to repeat", at + 1)
        return self.reader.settle(inner)

    def repeat(self, inner: tuple[Step, ...], extent: Repeat, at: int) -> None:
        if not inner:
            raise ReadError("nothing to repeat", at + 1)
        if extent.times == 0:
            raise ReadError("repeated no times", at + 1)
        self.nodes.append(replace(extent, steps=inner))

    def extent(self, after_word: bool = False) -> Repeat | None:
        """How far a repeat goes, taken from the items that follow; None if nothing says."""
        item = self.peek()
        if isinstance(item, Mark) and item.kind in ("AGAIN", "FROM_STAR") and not after_word:
            self.at += 1
            found = self.extent(after_word=True)
            if found is not None:
                return found
            if item.kind == "FROM_STAR":
                return Repeat(())
            self.at -= 1
            return None
        if isinstance(item, Mark) and item.kind == "TIMES":
            assert isinstance(item.meaning, Often)
            self.at += 1
            more = item.meaning.more
            if more is None and not after_word:
                more = False
            return Repeat((), times=item.meaning.n, more=more)
        if isinstance(item, Mark) and item.kind == "TO_LAST":
            assert isinstance(item.meaning, int)
            self.at += 1
            return Repeat((), left=item.meaning)
        if isinstance(item, SpotItem) and item.spot.kind == "all" and not item.spot.each:
            self.at += 1
            following = self.peek()
            if isinstance(following, Mark) and following.kind == "TO_LAST":
                return self.extent()
            return Repeat(())
        return None


def _takes_group(spot: Spot) -> bool:
    return spot.kind in ("next", "same", "space", "ring", "middle", "nth") or (
        spot.kind == "all" and spot.each
    )


def _count(step: Work | Into | Together) -> int | None:
    return step.n if isinstance(step, Work) else step.times


def _with_loop(node: _Node, spot: Spot | None, whole: Spot | None) -> _Node:
    """The node with its stitches through one loop or about the post."""
    loop = (spot and spot.loop) or (whole and whole.loop) or None
    post = (spot and spot.post) or (whole and whole.post) or None

    def turned(stitch: Stitch | Bunch) -> Stitch | Bunch:
        if isinstance(stitch, Bunch):
            return stitch
        if post is not None:
            return replace(stitch, post=post)
        return replace(stitch, loop=loop) if loop is not None else stitch

    match node:
        case _Bare() | Work():
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


def _parts(inner: Sequence[Step], at: int) -> tuple[Part, ...]:
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
                parts.extend(_parts(again, at) * times)
            case _:
                raise ReadError("that cannot all be worked into one place", at + 1)
    return tuple(parts)


def worked(reader: _Reader, item: WorkItem, spot: Spot | None) -> list[_Node]:
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
            return [_together(reader, thing, lead, times, spot, item.at)]
        case Increase():
            stitch = thing.stitch or reader.usual(item.at)
            parts: tuple[Part, ...] = (Several(stitch, thing.n),)
            return _grouped(reader, parts, None, lead, times, spot, item.at)
        case Figure():
            return _grouped(reader, thing.parts, thing.name, lead, times, spot, item.at)
        case Picot():
            return [thing] * min(times or lead or 1, 100)
        case _:
            return _stitches(reader, thing, item, times, spot)


def _together(
    reader: _Reader,
    thing: Decrease,
    lead: int | None,
    times: int | None,
    spot: Spot | None,
    at: int,
) -> Step:
    stitch = thing.stitch or reader.usual(at)
    n: int | None = times or lead or 1
    if spot is not None and spot.kind == "all":
        n = None
    elif spot is not None and spot.kind == "next":
        if spot.n == 1 and not spot.each and times is None and lead is None and thing.legs > 1:
            # "dc3tog in next st" draws its legs up from one place
            raise ReadError(f"{thing.legs} together need {thing.legs} stitches", at + 1)
        if spot.n is not None and spot.n % thing.legs == 0 and times is None and lead is None:
            n = spot.n // thing.legs
        elif spot.n != 1:
            raise ReadError("the stitches do not divide into the decreases", at + 1)
    elif spot is not None:
        raise ReadError("a decrease is worked over the next stitches", at + 1)
    return Together(stitch, thing.legs, n)


def _grouped(
    reader: _Reader,
    parts: tuple[Part, ...],
    name: str | None,
    lead: int | None,
    times: int | None,
    spot: Spot | None,
    at: int,
) -> list[_Node]:
    many = (lead or 1) * (times or 1)
    if spot is None:
        target: Target = "ring" if reader.ring else "next"
        return [Into(parts, many, target, name)]
    if lead not in (None, 1) and spot.kind == "next" and spot.n == lead:
        lead = 1
    return into(reader, parts, name, spot, (lead or 1) * (times or 1), at)


def into(
    reader: _Reader, parts: tuple[Part, ...], name: str | None, spot: Spot, times: int, at: int
) -> list[_Node]:
    """A group into the places a spot says."""
    if spot.left and spot.n is not None:
        reader.out.remaining = spot.n
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
            return [_every(reader, parts, name, spot, at)]
    raise ReadError("it does not say in which stitch", at + 1)


def _same_place(parts: tuple[Part, ...], name: str | None) -> Step:
    only = parts[0] if len(parts) == 1 and name is None else None
    if isinstance(only, Several):
        return Work(only.stitch, only.n, "same")
    return Into(parts, 1, "same", name)


def _every(reader: _Reader, parts: tuple[Part, ...], name: str | None, spot: Spot, at: int) -> Step:
    """ "Every other st" is every second one, or, after the round has been opened, every one that
    is left: then it is the others."""
    assert spot.nth is not None
    only = parts[0] if len(parts) == 1 else None
    if spot.nth.other:
        reader.out.other = True
        if reader.settings.other_is_second is not True and reader.opened():
            return Into(parts, None, "next", name)
    plain = None
    if isinstance(only, Several) and only.n > 1 and isinstance(only.stitch, Stitch):
        plain = only.stitch
    return EveryNth(parts, spot.nth.nth, plain)


def _stitches(
    reader: _Reader, thing: Stitch | Bunch, item: WorkItem, times: int | None, spot: Spot | None
) -> list[_Node]:
    lead, at = item.lead, item.at
    if item.more:
        return [Work(thing, lead or times or 1, "same")]
    if spot is None:
        if lead is not None and times is not None:
            return [Into((Several(thing, lead),), times)] if lead > 1 else [Work(thing, times)]
        if lead is None and times is not None:
            return [Work(thing, times, "ring" if reader.ring else "next")]
        return [_Bare(thing, lead or 1, lead is not None)]
    if spot.kind == "ring":
        return [Work(thing, (lead or 1) * (times or 1), "ring")]
    if spot.kind == "next" and lead is not None and lead > 2 and lead == spot.n:
        lead = None  # "12 sc in next 12 sts"
    if spot.kind == "all" and not spot.each and lead is not None and lead > 3:
        raise ReadError(f"{lead} in each stitch?", at + 1)
    if lead not in (None, 1):
        assert lead is not None
        return into(reader, (Several(thing, lead),), None, spot, times or 1, at)
    return [_one_each(reader, thing, times, spot, at)]


def _one_each(
    reader: _Reader, thing: Stitch | Bunch, times: int | None, spot: Spot, at: int
) -> Step:
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
            made = _every(reader, (Several(thing),), None, spot, at)
            return Work(thing, None) if isinstance(made, Into) else made
    raise ReadError("it does not say in which stitch", at + 1)
