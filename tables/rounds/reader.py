"""The reader: a written pattern as data, in either vocabulary, in the styles people use.

``read_pattern`` reads a whole pattern and never guesses in silence: what it cannot read is
``Unread`` with its line and column. ``read_steps`` reads one instruction.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import Literal

from .lines import MOST_OF_A_ROUND, Line, lines_of, numbers_in, size_heading
from .lines_facts import gauges_in, measures_in, measuring, sentences
from .lines_names import definitions_in, sizes_in
from .pattern import GaugeText, MeasureText, Pattern, RoundText, Terms, Where
from .reader_blocks import gather
from .reader_chains import ChainRules, general_saying, settle_chain
from .reader_doubt import settle_doubts
from .reader_error import ReadError
from .reader_lexer import Increase, Lexicon, plain
from .reader_so_far import Rounds
from .reader_start import starts_of
from .reader_steps import Settings, read_instruction
from .steps import Join, Step, Stitch
from .vocabulary import Figure, guess_terms, stitch_words

__all__ = ["ReadError", "read_pattern", "read_steps", "settle_chain"]

MOST_BYTES = 1_000_000
MOST_WORDS = 60
"""Words of its own a pattern may define; no maker needs as many."""

Asked = Literal["us", "uk", "auto"]


def read_steps(text: str, terms: Terms = "us") -> tuple[Step, ...]:
    """The steps of one instruction in ``terms``, such as "*sc in next st, ch 1, sk next st; rep
    from * around". An opening chain of more than one that nothing is said of is left open.

    Raises ReadError, its ``column`` counted from 1, where it cannot be read.
    """
    if len(text) > MOST_OF_A_ROUND:
        raise ReadError(f"one instruction is at most {MOST_OF_A_ROUND:,} characters", 1)
    steps = read_instruction(text, Settings(Lexicon(terms))).steps
    if not steps:
        raise ReadError("no instruction in it", 1)
    return steps


def read_pattern(text: str, terms: Asked = "auto") -> Pattern:
    """A whole pattern. Raises ReadError only for a text that is too large or has nothing in it
    that reads as rounds; everything else it cannot read is in ``unread``."""
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise ReadError(f"a pattern is at most {MOST_BYTES // 1_000_000} MB of text")
    lines = lines_of(text)
    if terms == "auto":
        settled, why = guess_terms(plain(text), _header(lines))
    else:
        settled, why = terms, "as asked"
    return _Reading(text, lines, settled, why).pattern()


def _header(lines: list[Line]) -> str:
    """What stands before the first round."""
    before: list[str] = []
    for line in lines:
        if line.label is not None:
            break
        before.append(line.text)
    return "\n".join(before)


class _Reading:
    """One pattern being read."""

    def __init__(self, text: str, lines: list[Line], terms: Terms, why: str) -> None:
        self.text, self.lines, self.terms, self.why = text, lines, terms, why
        self.lexicon = Lexicon(terms)
        self.chains = ChainRules()
        self.gauges: list[GaugeText] = []
        self.measures: list[MeasureText] = []
        self.understood: set[int] = set()

    def pattern(self) -> Pattern:
        others = [line for line in self.lines if line.label is None]
        sizes = self.sizes(others)
        self.define(others)
        at: int | None = None
        for line in self.lines:
            if line.label is None:
                self.facts(line, len(sizes), at)
            elif line.label.last is not None or at is not None:
                at = line.label.last if line.label.last is not None else (at or 0) + 1
                self.discs(line, len(sizes), at)
        for lines in _paragraphs(others):
            self.sayings(lines)
        blocks = gather(self.lines, self.lexicon, sizes, self.understood).blocks
        settings = Settings(self.lexicon, self.chains, self.usual(), increases=self.increases())
        rounds, notes = settle_doubts(blocks, sizes, settings)
        if not rounds.rounds:
            raise ReadError('nothing in it reads as a round, such as "Rnd 1: 6 sc in a ring"')
        return Pattern(
            terms=self.terms,
            terms_why=self.why,
            chain_said=self.chain_said(rounds),
            joined=self.joined(rounds),
            sizes=sizes,
            rounds=tuple(rounds.rounds),
            gauges=tuple(self.gauges),
            measures=tuple(self.measures),
            figures=tuple(
                dict.fromkeys(t.name for _, t in self.lexicon.own if isinstance(t, Figure))
            ),
            starts=rounds.starts(starts_of(self.lines, len(sizes))),
            unread=tuple(rounds.unread),
            notes=notes,
        )

    # --- what is said apart from the rounds -------------------------------------------------

    def sizes(self, others: list[Line]) -> tuple[str, ...]:
        """The sizes: listed in a line, else headings of sizes, else as many as the rounds give
        numbers for."""
        for line in others:
            found = sizes_in(line.text)
            if found:
                return found
        headed = [
            size_heading(line.text) for line in others if not re.search(r"\bonly\b", line.text)
        ]
        names = list(dict.fromkeys(n for n in headed if n))
        if len(names) >= 2:
            return tuple(names)
        labelled = (line.text for line in self.lines if line.label is not None)
        given = Counter(numbers_in(t) for t in labelled if len(t) <= MOST_OF_A_ROUND)
        several = {n: k for n, k in given.items() if 1 < n <= 20 and k >= 2}
        if several:
            most = max(several, key=lambda n: (several[n], n))
            return tuple(f"size {n}" for n in range(1, most + 1))
        return ()

    def define(self, others: list[Line]) -> None:
        """The words the pattern defines; a second time over, as one may lean on another."""
        for _ in range(2):
            own = dict(self.lexicon.own)
            for line in others:
                if len(own) >= MOST_WORDS:
                    break
                found = dict(definitions_in(line.text, self.lexicon))
                if found:
                    own = {**found, **own}
                    self.understood.add(line.number)
            if len(own) == len(self.lexicon.own):
                return
            self.lexicon = replace(self.lexicon, own=tuple(own.items()))

    def discs(self, line: Line, sizes: int, at: int) -> None:
        """How wide the piece is after a round, where the round says it last."""
        said = measuring(line.text)
        if said:
            where = Where(line.number, line.column + len(line.text) - len(said))
            found = measures_in(said, sizes, where) or measures_in(said + " across", sizes, where)
            self.measures += [replace(m, after_round=m.after_round or at) for m in found]

    def facts(self, line: Line, sizes: int, at: int | None) -> None:
        """Gauges and measures in one line; ``at``: the round it stands after."""
        where = Where(line.number, line.column)
        parts = sentences(line.text)
        gauges = [g for part in parts for g in gauges_in(part, self.terms, where)]
        measures = [
            replace(m, after_round=at) if m.what == "across" and m.after_round is None else m
            for part in parts
            for m in measures_in(part, sizes, where)
        ]
        self.gauges += gauges
        self.measures += [m for m in measures if not self.in_gauge(gauges, m)]
        if gauges or measures or sizes_in(line.text):
            self.understood.add(line.number)

    def sayings(self, lines: list[Line]) -> None:
        """What is said of opening chains, in sentences that may go over several lines."""
        for sentence in sentences(" ".join(line.text for line in lines)):
            said = general_saying(plain(sentence), self.terms)
            if said is None:
                continue
            self.chains = self.chains.with_saying(said)
            for line in lines:
                text = re.sub(r"\s+", " ", line.text.strip())
                if text in sentence or sentence[:_ENOUGH] in text or sentence[-_ENOUGH:] in text:
                    self.understood.add(line.number)

    @staticmethod
    def in_gauge(gauges: list[GaugeText], measure: MeasureText) -> bool:
        """A length that is part of a gauge is no measure of the hat."""
        return any(
            g.over_cm is not None and abs(g.over_cm - measure.values_cm[0]) < 1e-9 for g in gauges
        )

    def increases(self) -> bool:
        """Whether the pattern has a word for an increase, of its own or the usual one."""
        if any(isinstance(thing, Increase) for _, thing in self.lexicon.own):
            return True
        return any(
            line.label is not None and _INCREASE.search(plain(line.text)) for line in self.lines
        )

    def usual(self) -> Stitch:
        """The stitch most rounds are worked in."""
        lowered = plain("\n".join(line.text for line in self.lines if line.label is not None))
        counts: Counter[str] = Counter()
        for word, stitch in stitch_words(self.terms).items():
            if stitch.name != "sl st" and " " not in word:
                counts[stitch.name] += len(
                    re.findall(rf"(?<![a-z]){re.escape(word)}(?![a-z])", lowered)
                )
        if not counts or not counts.most_common(1)[0][1]:
            return Stitch("sc")
        return Stitch(counts.most_common(1)[0][0])

    # --- what the rounds tell ---------------------------------------------------------------

    def chain_said(self, rounds: Rounds) -> bool | None:
        """Whether opening chains count, where something is said: in general, else in passing."""
        said = [s for s in self.chains.sayings if s.n != 1] or list(self.chains.sayings)
        said = said or [s for s in rounds.sayings if s.n != 1] or rounds.sayings
        return said[0].counts if said else None

    def joined(self, rounds: Rounds) -> bool | None:
        joined = sum(_joins(r) for r in rounds.rounds)
        known = sum(r.steps is not None for r in rounds.rounds)
        spiral = re.search(r"\bspirals?\b|do(?:n't| not) join|continuous rounds", plain(self.text))
        if spiral is not None and 2 * joined < known:
            return False
        return True if joined else None


_ENOUGH = 12
"""Characters by which a sentence is found again in a line."""


def _paragraphs(lines: list[Line]) -> list[list[Line]]:
    """Lines that follow one another with nothing between them."""
    found: list[list[Line]] = []
    for line in lines:
        if found and not line.blank_before and found[-1][-1].number == line.number - 1:
            found[-1].append(line)
        else:
            found.append([line])
    return found


_INCREASE = re.compile(
    r"(?<![a-z])(?:inc|incs|increases?)(?![a-z])(?!\s*(?:\.\s*)?(?:rounds?|rnds?|rows?))(?!\s*[)\]])"
)
"""The word for an increase where it is worked, not where a round is called one."""


def _joins(round_: RoundText) -> bool:
    return any(_has_join(steps) for steps in round_.steps or ())


def _has_join(steps: tuple[Step, ...]) -> bool:
    return any(isinstance(s, Join) for s in steps)
