"""Blocks of text into rounds: instruction and printed counts for every size, what a round
repeats, what it is worked over, and what could not be read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache

from .counter import MOST_PLACES
from .lines import MOST_OF_A_ROUND, for_size
from .lines_counts import split_counts
from .lines_names import match_sizes
from .pattern import Printed, RoundText, Unread
from .reader_again import (
    Again,
    as_last,
    as_rounds,
    even_in_words,
    over_next,
    without_number_of_rounds,
)
from .reader_blocks import Block
from .reader_by_size import by_size, ranges_of
from .reader_chains import ChainRules, Saying, first_stitch
from .reader_error import ReadError
from .reader_groups import named_by_count
from .reader_lexer import Lexicon, plain
from .reader_steps import Read, Settings, read_instruction
from .steps import (
    Into,
    Join,
    Leave,
    Repeat,
    StartChain,
    Step,
    Stitch,
    Turn,
    Work,
)
from .stepwise import goes_round
from .vocabulary import stitch_words, words_pattern


@dataclass
class Rounds:
    """The rounds read so far, and what they say in passing; ``at`` is the number of the
    last (``reached``: of each size); ``doubtful`` holds the instructions that
    could be meant two ways, by round."""

    sizes: tuple[str, ...]
    settings: Settings
    rounds: list[RoundText] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    sayings: list[Saying] = field(default_factory=list)
    rings: tuple[int, ...] = ()
    doubtful: dict[int, tuple[str, Settings]] = field(default_factory=dict)
    chains: ChainRules | None = None
    at: int = 0
    reached: dict[str, int] = field(default_factory=dict)

    def starts(self, said: tuple[int, ...]) -> tuple[int, ...]:
        """The joined chain the piece starts on, one a size where they differ: chains closed
        before a first round that is not worked into their ring. ``said``: before any round."""
        first = next((r for r in self.rounds if r.steps), None)
        if first is not None and first.steps and _in_ring(first.steps[0]):
            return ()
        return said or self.rings


def _in_ring(steps: tuple[Step, ...]) -> bool:
    return any(
        (isinstance(s, Work | Into) and s.target == "ring")
        or (isinstance(s, Repeat) and _in_ring(s.steps))
        for s in steps
    )


@lru_cache(maxsize=4096)
def _cached(text: str, settings: Settings) -> Read:
    return read_instruction(text, settings)


def read_blocks(blocks: list[Block], sizes: tuple[str, ...], settings: Settings) -> Rounds:
    """All blocks as rounds, in order."""
    out = Rounds(sizes, settings, chains=settings.chains)
    for block in blocks:
        if block.label is None:
            _apart(block, out)
        else:
            for part in by_size(block, sizes):
                _round(part, out)
    return out


def _settings(out: Rounds) -> Settings:
    assert out.chains is not None
    return replace(out.settings, chains=out.chains, first=not out.rounds)


# --- lines without a label ------------------------------------------------------------------


def _apart(block: Block, out: Rounds) -> None:
    """A line that labels no round: chains before the first, remarks, or a round all the same."""
    if len(block.text) > MOST_OF_A_ROUND:
        why = f"one line is at most {MOST_OF_A_ROUND:,} characters"
        out.unread.append(Unread(block.where(), block.text[:80].strip(), why))
        return
    headed = _HEADED.match(block.text)
    try:
        try:
            steps, printed, read = _one(block.text, out)
            headed = None
        except ReadError:
            if headed is None:
                raise
            steps, printed, read = _one(block.text[headed.end() :], out)
    except ReadError as error:
        if out.rounds and _like_steps(block.text, out.settings.lexicon):
            out.unread.append(Unread(block.where(error.column), block.text.strip(), str(error)))
        return
    if read is not None and read.ring is not None:
        out.rings = (read.ring,)
    if steps is None or not any(_works(step) for step in steps):
        return
    # a line of abbreviations has no step that goes all round
    whole = bool(printed) or any(goes_round(step) for step in steps)
    if not (whole if out.rounds else printed or _in_ring(steps)):
        return
    _note(read, out)
    out.rounds.append(
        RoundText(
            label="" if headed is None else headed["head"].strip(),
            first=None,
            last=None,
            where=block.where(),
            text=block.text.strip(),
            steps=(steps,),
            printed=(printed,) if printed else (),
            sizes=block.sizes,
            section=block.section,
            remaining=read.remaining if read is not None else None,
        )
    )


_HEADED = re.compile(r"\s*(?P<head>[A-Za-z][A-Za-z' ]{1,24}):\s*")


def _like_steps(text: str, lexicon: Lexicon) -> bool:
    """Whether a line that cannot be read looks like an instruction: a stitch with a number."""
    names = words_pattern([w for w in stitch_words(lexicon.terms) if len(w) < 12])
    lowered = plain(text)
    if re.match(
        r"\W*(?:rep(?:eat)?|continue|work)\b.*\b(?:rnds?|rounds?|rows?|until|till|even)\b", lowered
    ):
        return True
    if re.search(
        r"\b(?:rep|repeat)\b[^.]*\b(?:rnds?|rounds?|rows?)\b|\bnext\s+(?:st|rnd|round)", lowered
    ):
        return True
    return bool(
        re.search(rf"\d\s*(?:{names})(?![a-z])|(?<![a-z])(?:{names})\s*(?:\d|in\s)", lowered)
    )


# --- rounds ---------------------------------------------------------------------------------


def _round(block: Block, out: Rounds) -> None:
    label = block.label
    assert label is not None
    first, last = label.first, label.last
    names = block.sizes or out.sizes
    reached = tuple(out.reached.get(name, 0) for name in names)
    ranges = ranges_of(label, names, reached)
    if label.many is not None:
        first, last = _from_next(label.many, out)
        if len(set(reached)) > 1:
            ranges = tuple((end + 1, end + label.many) for end in reached)
    base = RoundText(
        label=label.text,
        first=first,
        last=last,
        where=block.where(),
        text=block.text.strip(),
        steps=None,
        sizes=block.sizes,
        section=block.section,
        ranges=ranges,
    )
    if label.names and block.sizes is None and not _all_sizes(label.names, out):
        _unread(block, out, base, ReadError(f'the pattern has no size "{label.names}"', 1))
        return
    if last is not None and first is not None and last - first >= MOST_PLACES:
        _unread(block, out, base, ReadError(f"more than {MOST_PLACES:,} rounds", 1))
        return
    try:
        _fill(block, out, base)
    except ReadError as error:
        _unread(block, out, base, error)


def _all_sizes(names: str, out: Rounds) -> bool:
    return match_sizes(names, out.sizes) == out.sizes


def _from_next(many: int, out: Rounds) -> tuple[int | None, int | None]:
    """Rounds said as "next 4 rounds" go on counting from the round before."""
    return out.at + 1, out.at + many


def _unread(block: Block, out: Rounds, base: RoundText, error: ReadError) -> None:
    printed = _printed_anyway(block, out)
    fault = Unread(block.where(error.column), block.text.strip() or base.label, str(error))
    out.unread.append(fault)
    out.rounds.append(replace(base, printed=printed, unread=fault))
    _reach(out, out.rounds[-1])


def _printed_anyway(block: Block, out: Rounds) -> tuple[tuple[Printed, ...], ...]:
    """The counts an unread round prints, for going on from."""
    if len(block.text) > MOST_OF_A_ROUND:
        return ()
    texts = _texts(block, out)
    printed = [split_counts(text, out.settings.lexicon)[1] for text in texts]
    return _folded(printed) if any(printed) else ()


def _texts(block: Block, out: Rounds) -> list[str]:
    """The text for each size it is for; one where all read alike."""
    if len(block.text) > MOST_OF_A_ROUND:
        raise ReadError(f"one round is at most {MOST_OF_A_ROUND:,} characters", 1)
    names = block.sizes if block.sizes is not None else out.sizes
    if len(out.sizes) < 2 or not names:
        return [block.text]
    texts = [for_size(block.text, out.sizes.index(name), len(out.sizes)) for name in names]
    # a list with a value for each of the sizes it is for ("sizes M (L) only ... 45 (48)")
    if len(set(texts)) == 1 and 1 < len(names) < len(out.sizes):
        texts = [for_size(block.text, at, len(names)) for at in range(len(names))]
    return texts


def _folded(values: list[tuple[Printed, ...]]) -> tuple[tuple[Printed, ...], ...]:
    return (values[0],) if len(set(values)) == 1 else tuple(values)


def _fill(block: Block, out: Rounds, base: RoundText) -> None:
    texts = _texts(block, out)
    every_steps: list[tuple[Step, ...]] = []
    every_printed: list[tuple[Printed, ...]] = []
    over, read = None, None
    rings: list[int] = []
    for text in texts:
        if _repeats(text, texts, out, base):
            return
        over, text = over_next(without_number_of_rounds(text, base))
        steps, printed, read = _one(text, out)
        if read is not None and read.ring is not None and not out.rounds:
            rings.append(read.ring)
        if not steps or not any(_works(step) for step in steps):
            if rings:
                continue  # "Rnd 1: Ch 60, join into a ring"
            raise ReadError("no instruction in it", 1)
        every_steps.append(steps)
        every_printed.append(printed)
    if len(rings) == len(texts):
        out.rings = tuple(rings) if len(set(rings)) > 1 else (rings[0],)
    if not every_steps:
        out.at = base.last or 1
        return
    every_steps = [
        named_by_count(steps, printed, out.settings.lexicon)
        for steps, printed in zip(every_steps, every_printed, strict=True)
    ]
    printed_all = _folded(every_printed) if any(every_printed) else ()
    same = len(set(every_steps)) == 1
    done = replace(
        base,
        steps=(every_steps[0],) if same else tuple(every_steps),
        printed=printed_all,
        over=over,
        remaining=read.remaining if read is not None else None,
    )
    _append(out, done, read)


def _repeats(text: str, texts: list[str], out: Rounds, base: RoundText) -> bool:
    """Take a round that only says which other rounds it repeats; False if it says other work."""
    if as_last(text, out.settings.lexicon):
        before = out.rounds[-1] if out.rounds else None
        if before is None or before.steps is None:
            raise ReadError("there is no round before this one that could be read", 1)
        done = replace(base, steps=before.steps, as_rounds=before.as_rounds)
    else:
        found = as_rounds(text, out.settings.lexicon)
        if found is None:
            return False
        _fits_label(found, base)
        done = replace(base, steps=(), as_rounds=(found.first, found.last))
        if not found.printed:
            _append(out, done, None)
            return True
    every = [split_counts(t, out.settings.lexicon)[1] for t in texts]
    _append(out, replace(done, printed=_folded(every) if any(every) else ()), None)
    return True


def _fits_label(found: Again, base: RoundText) -> None:
    """So many times over has to be as many rounds as the label says."""
    if found.times is None:
        return
    rounds = found.times * (found.last - found.first + 1)
    said = None if base.first is None or base.last is None else base.last - base.first + 1
    if said != rounds:
        raise ReadError(f"that makes {rounds} rounds, and the label does not say so", 1)


def _works(step: Step) -> bool:
    return not isinstance(step, StartChain | Join | Turn | Leave)


def _append(out: Rounds, done: RoundText, read: Read | None) -> None:
    _note(read, out)
    out.rounds.append(done)
    _reach(out, done)
    out.at = done.last if done.last is not None else out.at + 1


def _reach(out: Rounds, done: RoundText) -> None:
    """Each size that a round is for has come as far as its last number."""
    for at, name in enumerate(done.sizes or out.sizes):
        last = done.ranges[at][1] if done.ranges else done.last
        out.reached[name] = last if last is not None else out.reached.get(name, 0) + 1


def _note(read: Read | None, out: Rounds) -> None:
    """What an instruction said in passing holds from here on."""
    if read is None:
        return
    if read.doubtful:
        out.doubtful[len(out.rounds)] = (read.text, read.settings)
    assert out.chains is not None
    for said in read.sayings:
        out.chains = out.chains.with_saying(said)
        out.sayings.append(said)


_EVEN_WORD = re.compile(r"even|straight", re.IGNORECASE)


def _one(
    text: str, out: Rounds
) -> tuple[tuple[Step, ...] | None, tuple[Printed, ...], Read | None]:
    """One size's instruction: its steps, its printed counts."""
    rest, printed = split_counts(text, out.settings.lexicon)
    settings = _settings(out)
    rest = even_in_words(rest, _last_stitch(out)) if _EVEN_WORD.search(rest) else rest
    read = _cached(rest.rstrip(), settings)
    return read.steps, printed, read


def _last_stitch(out: Rounds) -> str:
    for round_ in reversed(out.rounds):
        for steps in round_.steps or ():
            found = first_stitch(steps)
            if found is not None:
                names = stitch_words(out.settings.lexicon.terms)
                return next(w for w, s in names.items() if s == Stitch(found.name))
    return next(w for w, s in stitch_words(out.settings.lexicon.terms).items()
                if s == out.settings.usual)  # fmt: skip
