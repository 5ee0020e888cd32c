"""Written patterns for the tests of adapt. Wordings are ours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver import fit
from evenround.tables.adapt.infer import original_of
from evenround.tables.adapt.original import Original
from evenround.tables.brief import example_brief, plan
from evenround.tables.pattern import to_text, write_pattern
from evenround.tables.rounds.reader import read_pattern


def crown(sectors: int, rounds: int, first: int = 1, stitch: str = "hdc") -> Iterator[str]:
    """A disc of so many rounds in words."""
    yield f"Rnd {first}: {sectors} {stitch} in a ring. ({sectors})"
    yield f"Rnd {first + 1}: 2 {stitch} in each st around. ({2 * sectors})"
    for at in range(2, rounds):
        plain = f"{stitch} in next {at - 1} sts" if at > 2 else f"{stitch} in next st"
        yield (
            f"Rnd {first + at}: *2 {stitch} in next st, {plain}; rep from * around. "
            f"({sectors * (at + 1)})"
        )


def lines(*parts: Sequence[str] | Iterator[str]) -> str:
    return "\n".join(line for part in parts for line in part)


# worked_examples 4: instructables.com hat, its counts in our words
PLAIN_CAP = lines(
    ["Rnd 1: 4 sc in a ring. (4)", "Rnd 2: 2 hdc in each st around. (8)"],
    ["Rnd 3: 2 hdc in each st around. (16)"],
    (
        f"Rnd {k + 3}: *2 hdc in next st, hdc in next {k} st{'s' * (k > 1)}; rep from * around. "
        f"({8 * (k + 2)})"
        for k in range(1, 7)
    ),
    ["Rnds 10-20: Hdc in each st around. (64)"],
)


def original(text: str, size: str | None = None) -> Original:
    return original_of(read_pattern(text), "ours", size)


def example(name: str, size: str | None = None, rank: int = 1) -> tuple[str, list[int]]:
    """A built-in example as a written pattern, and its counts."""
    made = plan(example_brief(name), size)
    candidate = fit(made.piece, best=rank, near=False).candidates[rank - 1]
    return to_text(write_pattern(made, candidate)), list(candidate.tally.round_counts)
