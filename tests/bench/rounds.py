"""Bench of the rounds language: reading and auditing long patterns, printed as ratios in one run.

Run by hand: ``python tests/bench/rounds.py``. Asserts no time.
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.reader import read_pattern

RUNS = 3
GROWING = 200  # rounds that increase before the tube


def pattern(rounds: int) -> str:
    """A long tube: sixes to a wide disc, then straight, every round with its count."""
    lines = ["A long tube (US terms), worked in a spiral", "Rnd 1: 6 sc in a ring. (6 sc)"]
    count = 6
    for number in range(2, rounds + 1):
        if number <= GROWING:
            words = f"*sc in next {count // 6 - 1} sts, 2 sc in next st; rep from * around"
            words = words if count > 6 else "2 sc in each st around"
            count += 6
        else:
            words = "sc in each st around"
        lines.append(f"Rnd {number}: {words}. ({count} sc)")
    return "\n".join(lines)


def timed(rounds: int) -> tuple[int, float, float]:
    """Characters, seconds to read, seconds to audit: medians."""
    text = pattern(rounds)
    reads, audits = [], []
    for _ in range(RUNS):
        start = perf_counter()
        read = read_pattern(text)
        middle = perf_counter()
        assert audit_pattern(read).agrees
        reads.append(middle - start)
        audits.append(perf_counter() - middle)
    return len(text), median(reads), median(audits)


def main() -> None:
    """Print one table: each length beside the first."""
    read_pattern(pattern(10))  # the grammar is made once
    print("  rounds      text     read    audit   a round, beside 1,000")
    base: float | None = None
    for rounds in (1_000, 2_000, 5_000, 10_000):
        size, read, audit = timed(rounds)
        each = (read + audit) / rounds
        base = base or each
        print(f"{rounds:8,} {size / 1000:6.0f} kB {read:6.2f} s {audit:6.2f} s   {each / base:.2f}")


if __name__ == "__main__":
    main()
