"""Items from left to right, one level of brackets at a time: repeats closed, places said apart
joined to their stitches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from .counter import DEEPEST
from .reader_bare import settle
from .reader_begun import begin_decrease
from .reader_chains import saying
from .reader_ends import leave, omit_last, to_last
from .reader_error import ReadError
from .reader_extent import extent_at
from .reader_items import BracketItem, ChainItem, Item, Mark, SkipItem, Spot, SpotItem, WorkItem
from .reader_kinds import closes, opened_in_space, takes_group, takes_times, unwrapped
from .reader_lexer import Often
from .reader_state import Bare, Node, State
from .reader_work import into, merged, parts_of_steps, spread, with_loop, worked
from .steps import (
    Bunch,
    Chain,
    Into,
    Join,
    Part,
    Repeat,
    Skip,
    StartChain,
    Step,
    Stitch,
    Together,
    Turn,
    Work,
)
from .stepwise import endless


def nodes_of(state: State, items: Sequence[Item]) -> list[Node]:
    """The steps and bare stitches of an instruction's items. Raises ReadError."""
    return _Level(state, items, 0).run()


@dataclass
class _Open:
    """A star that waits for its repeat."""

    sign: str
    since: int


class _Level:
    """One bracket's items, or the whole instruction's, worked off from left to right."""

    def __init__(self, state: State, items: Sequence[Item], depth: int) -> None:
        self.state, self.depth = state, depth
        self.items = opened_in_space(items) if depth == 0 else items
        self.at = 0
        self.nodes: list[Node] = []
        self.stars: list[_Open] = []
        self.loop: Spot | None = None
        self.loose = False  # a stitch stood without a place, as in "sc 2"
        self.chains: int | None = None  # in each space last worked into
        self.before: WorkItem | tuple[Part, ...] | None = None  # what a further place takes

    def run(self) -> list[Node]:
        while self.at < len(self.items):
            item = self.items[self.at]
            self.at += 1
            match item:
                case WorkItem():
                    self.work(item)
                case ChainItem():
                    self.chain(item)
                case SkipItem():
                    self.skip(item)
                case SpotItem():
                    self.place(item)
                case BracketItem():
                    self.bracket(item)
                case Mark():
                    self.mark(item)
        if self.stars:
            raise ReadError('a "*" is opened, but nothing says what is repeated', 1)
        return self.nodes

    def inside(self, item: BracketItem) -> list[Node]:
        if self.depth >= DEEPEST:
            raise ReadError(f"repeats more than {DEEPEST} deep", item.at + 1)
        return _Level(self.state, item.items, self.depth + 1).run()

    def peek(self, ahead: int = 0) -> Item | None:
        at = self.at + ahead
        return self.items[at] if at < len(self.items) else None

    # --- stitches -------------------------------------------------------------------------

    def chain(self, item: ChainItem) -> None:
        if item.say is not None:
            said = saying(item.say.lower(), item.n, self.state.settings.lexicon.terms)
            self.state.out.sayings.append(said)
        if item.n < 1:
            raise ReadError("a chain of none", item.at + 1)
        if self.depth == 0 and not self.nodes and item.n > 1:
            self.state.begun = self.state.chain_may_count(item.n)
        self.nodes.append(Chain(item.n))

    def skip(self, item: SkipItem) -> None:
        """The first place is passed over because the opening chain stands on it: that is said,
        not worked."""
        if item.first and self.depth == 0 and len(self.nodes) == 1:
            match self.nodes[0]:
                case Chain(n) if n > 1 and self.state.chain_may_count(n):
                    self.state.foot_skipped = True
                    return
                case _:
                    pass
        self.nodes.append(Skip(item.n))

    def work(self, item: WorkItem, spot: Spot | None = None) -> None:
        spot = item.spot or spot
        if spot is not None and self.ends_repeat(item, spot):
            raise ReadError("it does not say from where the repeat begins", item.at + 1)
        if item.often is not None and item.often.more:
            raise ReadError('"more times" of what?', item.at + 1)
        if self.nodes and not isinstance(self.nodes[-1], Bare) and endless(self.nodes[-1]):
            self.state.begun = False  # "sc around, increasing in every other st"
        made = worked(self.state, item, spot)
        self.before = item
        if self.loop is not None or (spot is not None and (spot.loop or spot.post)):
            made = [with_loop(node, spot, self.loop) for node in made]
        self.loose |= spot is None
        self.remember(item, spot)
        if spot is not None and spot.kind != "ring":
            self.state.begun = True
        for node in made:
            one = merged(self.nodes[-1], node, self.chains, item.at) if self.nodes else None
            if one is not None:
                self.nodes[-1] = one
                continue
            self.nodes.append(node)

    def ends_repeat(self, item: WorkItem, spot: Spot) -> bool:
        """Whether "around" after the last of several stitches ("sc 2, inc around") may mean the
        lot of them."""
        if spot.kind != "all" or spot.each or spot.left:
            return False
        numbered = item.lead not in (None, 1) or item.after is not None
        return self.loose and (numbered or not isinstance(item.thing, Stitch))

    def remember(self, item: WorkItem, spot: Spot | None) -> None:
        if isinstance(item.thing, Stitch | Bunch):
            self.state.last = item.thing
        if spot is not None and spot.left and spot.n is not None:
            self.state.out.remaining = spot.n
        if spot is not None and spot.kind == "space":
            self.chains = spot.chains
        if spot is not None and spot.kind == "ring":
            self.state.hook = spot.hook

    # --- places said apart ----------------------------------------------------------------

    def place(self, item: SpotItem) -> None:
        spot = item.spot
        if spot.kind == "ring":
            self.state.ring = True
            return
        if spot.kind == "loop":
            if self.peek() is None:
                self.nodes = [with_loop(node, spot, None) for node in self.nodes]
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
        self.further(item)

    def further(self, item: SpotItem) -> None:
        """One more place for the last thing worked: "2 dc in first st and in each st around" is
        two in every one."""
        last, before = self.state.last, self.before
        joined = self.state.out.text[: item.at].rstrip().lower().endswith(("and", "&", "then"))
        if isinstance(before, tuple) and joined and takes_group(item.spot):
            self.nodes.extend(into(self.state, before, None, item.spot, 1, item.at))
            return
        if isinstance(before, WorkItem) and joined and before.spot is not None:
            again = replace(before, spot=item.spot, more=False, often=None, after=None, at=item.at)
            self.work(again if item.spot.kind != "more" else replace(again, lead=None))
            return
        if last is None:
            raise ReadError("it does not say what to work here", item.at + 1)
        self.work(WorkItem(last, None, None, False, item.spot, None, item.at))

    def nodes_before(self) -> bool:
        return bool(self.nodes) and not isinstance(self.nodes[-1], StartChain | Chain | Skip)

    def repeat_all_so_far(self, item: SpotItem) -> bool:
        """As in "..., all round" after stitches that have their places: from where the repeat
        begins is not said, so it is not counted."""
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
        if isinstance(following, SpotItem) and takes_group(following.spot):
            self.at += 1
            self.group(item, following.spot)
            return
        inner = settle(self.state, self.inside(item))
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
        inner = settle(self.state, self.inside(item))
        parts = parts_of_steps(inner, item.at)
        often = self.peek()
        times = 1
        if isinstance(often, Mark) and often.kind == "TIMES":
            assert isinstance(often.meaning, Often)
            self.at += 1
            times = often.meaning.n
        self.nodes.extend(into(self.state, parts, None, spot, times, item.at))
        self.before = parts

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
            case "BEGUN":
                begin_decrease(self.nodes, mark)
            case "LEAVE":
                leave(self.nodes, mark)
            case "OMIT":
                omit_last(self.nodes, mark)
            case "MAKE_RING":
                assert isinstance(mark.meaning, int)
                self.state.out.ring = mark.meaning
            case "MOVE":
                self.move()
            case "TIMES":
                self.often(mark)
            case "EVENLY":
                spread(self.state, self.nodes, mark, self.depth)
            case "TO_LAST":
                to_last(self.nodes, mark)
            case _:
                raise ReadError(f'"{mark.text}" does not fit here', mark.at + 1)

    def move(self) -> None:
        """A slip into a chain space; the last of a round only leads on to the next."""
        rest = self.items[self.at :]
        if self.depth == 0 and self.nodes and all(closes(item) for item in rest):
            self.nodes.append(Join())
            return
        self.nodes.append(Work(Stitch("sl st"), 1, "space"))

    def often(self, mark: Mark) -> None:
        """Such as "twice" after a stitch said apart, or "6 x" before a bracket or a stitch."""
        assert isinstance(mark.meaning, Often)
        following = self.peek()
        said_once = mark.meaning.more is None
        if said_once and isinstance(following, WorkItem) and takes_times(following):
            self.at += 1
            placed = following.spot is not None
            n = mark.meaning.n
            one = replace(following, lead=n) if placed else replace(following, after=n)
            self.work(one)
            return
        if isinstance(following, BracketItem) and mark.meaning.more is None:
            self.at += 1
            inner = settle(self.state, self.inside(following))
            self.repeat(inner, Repeat((), times=mark.meaning.n), mark.at)
            return
        last = self.nodes[-1] if self.nodes else None
        if mark.meaning.more or not isinstance(last, Into | Together):
            raise ReadError(f'"{mark.text}" of what?', mark.at + 1)
        self.nodes[-1] = replace(last, times=mark.meaning.n)

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
            if all(closes(item) for item in self.items[self.at : self.at + 1]):
                extent = Repeat(())
            else:
                raise ReadError("it does not say how often it is repeated", mark.at + 1)
        self.repeat(inner, extent, mark.at)

    def from_star(self, mark: Mark) -> None:
        sign = str(mark.meaning)
        open_ = next((s for s in reversed(self.stars) if s.sign == sign), None)
        if open_ is None and "from" not in mark.text and mark.text.count("*") == len(sign):
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
        """As in "then repeat five times": all that the round has said so far."""
        following = self.peek()
        if isinstance(following, BracketItem) and unwrapped(following) is following:
            return  # "repeat (sc, inc) all around": the bracket tells the rest
        extent = self.extent(after_word=True)
        if self.stars:
            start = self.stars[-1].since
            del self.stars[-1:]
            self.repeat(self.cut(start, mark.at), extent or Repeat(()), mark.at)
            return
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
        return settle(self.state, inner)

    def repeat(self, inner: tuple[Step, ...], extent: Repeat, at: int) -> None:
        if not inner:
            raise ReadError("nothing to repeat", at + 1)
        if extent.times == 0:
            raise ReadError("repeated no times", at + 1)
        if any(endless(step) for step in inner):
            if len(inner) == 1 and extent.times is None and extent.left == 0:
                self.nodes.extend(inner)  # "*2 dc in every dc* to the end"
                return
            raise ReadError("a whole round cannot stand inside a repeat", at + 1)
        self.nodes.append(replace(extent, steps=inner))

    def extent(self, after_word: bool = False) -> Repeat | None:
        """How far a repeat goes, taken from the items that follow; None if nothing says."""
        found, self.at = extent_at(self.items, self.at, after_word)
        return found
