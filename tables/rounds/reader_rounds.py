"""Blocks of text into rounds: instruction and printed counts for every size, what a round
repeats, what it is worked over, and what could not be read.
"""

from __future__ import annotations

import re
from dataclasses import replace

from .counter import MOST_PLACES
from .lines import MOST_OF_A_ROUND, for_size
from .lines_counts import split_counts
from .lines_facts import without_length
from .lines_names import match_sizes
from .pattern import Printed, RoundText, Unread
from .reader_again import (
    Again,
    as_last,
    as_rounds,
    over_next,
    rounds_said,
    without_number_of_rounds,
)
from .reader_blocks import Block
from .reader_by_size import by_size, ranges_of
from .reader_error import ReadError
from .reader_groups import named_by_count
from .reader_lexer import Lexicon, plain
from .reader_so_far import Rounds, append, in_ring, note, one, reach
from .reader_steps import Settings
from .steps import (
    Join,
    Leave,
    StartChain,
    Step,
    Turn,
)
from .stepwise import goes_round
from .vocabulary import stitch_words, words_pattern

Ends = tuple[tuple[int, int], ...]
"""The first and the last round of each size."""


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


def _apart(block: Block, out: Rounds) -> None:
    """A line that labels no round: chains before the first, remarks, or a round all the same."""
    if len(block.text) > MOST_OF_A_ROUND:
        why = f"one line is at most {MOST_OF_A_ROUND:,} characters"
        out.unread.append(Unread(block.where(), block.text[:80].strip(), why))
        return
    if _onward(block, out):
        return
    headed = _HEADED.match(block.text)
    try:
        try:
            steps, printed, read = one(block.text, out)
            headed = None
        except ReadError:
            if headed is None:
                raise
            steps, printed, read = one(block.text[headed.end() :], out)
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
    if not (whole if out.rounds else printed or in_ring(steps)):
        return
    note(read, out)
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


def _onward(block: Block, out: Rounds) -> bool:
    """Take a line that only says how far the work goes on: "Rep Rnd 3 until piece measures 7 in",
    "Work even for 5 rounds"; False if it says other work."""
    rest, until = without_length(block.text)
    again = as_rounds(rest, out.settings.lexicon, out.at)
    many = rounds_said(rest)
    if again is not None and again.times is not None:
        many = again.times * (again.last - again.first + 1)
    if not out.rounds or not (until or many) or (many or 0) >= MOST_PLACES:
        return False
    words = "" if many else re.split(r"[,.;:(]|\s{2}", rest.strip())[0]
    first, last, ranges = _from_next(many, block, out) if many else (None, None, ())
    base = _base(block, words, first, last, ranges)
    try:
        _fill(block, out, base)
    except ReadError:
        return False
    return True


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
    ranges = ranges_of(label, block.sizes or out.sizes, _reached(block, out))
    if label.many is not None:
        first, last, ranges = _from_next(label.many, block, out)
    base = _base(block, label.text, first, last, ranges)
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


def _base(block: Block, label: str, first: int | None, last: int | None, ranges: Ends) -> RoundText:
    """A block's round before its text is read."""
    return RoundText(
        label=label,
        first=first,
        last=last,
        where=block.where(),
        text=block.text.strip(),
        steps=None,
        sizes=block.sizes,
        section=block.section,
        ranges=ranges,
    )


def _all_sizes(names: str, out: Rounds) -> bool:
    return match_sizes(names, out.sizes) == out.sizes


def _reached(block: Block, out: Rounds) -> tuple[int, ...]:
    """How far each size that a block is for has come."""
    return tuple(out.reached.get(name, 0) for name in block.sizes or out.sizes)


def _from_next(many: int, block: Block, out: Rounds) -> tuple[int, int, Ends]:
    """Rounds said as "next 4 rounds" go on counting from the round before, in every size from
    its own where they have come to others."""
    reached = _reached(block, out)
    apart = len(set(reached)) > 1
    ranges = tuple((end + 1, end + many) for end in reached) if apart else ()
    return out.at + 1, out.at + many, ranges


def _unread(block: Block, out: Rounds, base: RoundText, error: ReadError) -> None:
    printed = _printed_anyway(block, out)
    fault = Unread(block.where(error.column), block.text.strip() or base.label, str(error))
    out.unread.append(fault)
    out.rounds.append(replace(base, printed=printed, unread=fault))
    reach(out, out.rounds[-1])


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
    for said in texts:
        text, until = without_length(said)
        base = replace(base, until=until and base.first == base.last)
        if _repeats(text, texts, out, base):
            return
        over, text = over_next(without_number_of_rounds(text, base))
        steps, printed, read = one(text, out)
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
    append(out, done, read)


def _repeats(text: str, texts: list[str], out: Rounds, base: RoundText) -> bool:
    """Take a round that only says which other rounds it repeats; False if it says other work."""
    if as_last(text, out.settings.lexicon):
        before = out.rounds[-1] if out.rounds else None
        if before is None or before.steps is None:
            raise ReadError("there is no round before this one that could be read", 1)
        done = replace(base, steps=before.steps, as_rounds=before.as_rounds)
    else:
        found = as_rounds(text, out.settings.lexicon, out.at)
        if found is None:
            return False
        _fits_label(found, base)
        done = replace(base, steps=(), as_rounds=(found.first, found.last))
        if not found.printed:
            append(out, done, None)
            return True
    every = [split_counts(t, out.settings.lexicon)[1] for t in texts]
    append(out, replace(done, printed=_folded(every) if any(every) else ()), None)
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
