"""The pattern for other programs: plain data and JSON."""

from __future__ import annotations

import json
from typing import Any

from evenround.tables.rounds.figures_stitches import in_terms
from evenround.tables.rounds.writer import names

from .lines import before_words, count_words, heading_lines, heading_title, instruction
from .sizes_lines import counts, instructions, label, line_text
from .sizes_written import SizesLine, SizesPattern
from .written import Heading, WrittenPattern, WrittenRound


def pattern_data(pattern: WrittenPattern) -> dict[str, Any]:
    """The pattern as dictionaries and lists: everything the page says, every count a number."""
    return {
        "title": pattern.title,
        "size": pattern.size,
        "terms": pattern.terms,
        "joined": pattern.joined,
        "chain_counts": False,
        "materials": list(pattern.materials),
        "yarn": list(pattern.yarn),
        "gauge": list(pattern.gauge),
        "measurements": list(pattern.measurements),
        "abbreviations": dict(pattern.abbreviations),
        "notes": list(pattern.notes),
        "start": pattern.start,
        "sections": [_section(heading, pattern) for heading in pattern.headings],
        "finishing": list(pattern.finishing),
        "warnings": list(pattern.warnings),
        "assumed": list(pattern.assumptions),
        "cautions": list(pattern.cautions),
    }


def _section(heading: Heading, pattern: WrittenPattern) -> dict[str, Any]:
    return {
        "section": heading.kind,
        "name": heading.name,
        "heading": heading_title(heading, pattern.terms),
        "stitch": in_terms(heading.stitches[0], pattern.terms),
        "before": list(heading.before),
        "rounds": [_round(r, line, pattern) for r, line in heading_lines(heading, pattern.terms)],
    }


def _round(written: WrittenRound, line: str, pattern: WrittenPattern) -> dict[str, Any]:
    own = names(pattern.terms)
    return {
        "label": written.label,
        "first": written.first,
        "last": written.last,
        "text": line,
        "instruction": instruction(written, pattern.terms),
        "count": written.count,
        "counts": list(written.counts),
        "count_words": count_words(written, pattern.terms),
        "made": {own.get(us, us) or "sts": n for us, n in written.made},
        "written_out": written.steps is not None,
        "note": written.note or None,
        "before": before_words(written) or None,
        "after": written.after or None,
    }


def sizes_data(pattern: SizesPattern) -> dict[str, Any]:
    """The pattern for all sizes: every size's own as ``pattern_data`` has it, and the lines of
    rounds for all of them."""
    pairs = zip(pattern.marks, pattern.names, pattern.patterns, strict=True)
    return {
        "title": pattern.title,
        "terms": pattern.terms,
        "sizes": [{**pattern_data(own), "size": name, "mark": mark} for mark, name, own in pairs],
        "sections": [
            {
                "heading": heading.title,
                "lines": [_sizes_line(line, pattern) for line in heading.lines],
            }
            for heading in pattern.headings
        ],
    }


def _sizes_line(line: SizesLine, pattern: SizesPattern) -> dict[str, Any]:
    rounds = line.row.items
    return {
        "sizes": [pattern.names[size] for size in line.row.sizes],
        "label": label(line.row, pattern.marks),
        "text": line_text(line, pattern),
        "instruction": instructions(rounds, pattern.terms),
        "count_words": counts(rounds, pattern.terms),
        "first": [r.first for r in rounds],
        "last": [r.last for r in rounds],
        "count": [r.count for r in rounds],
    }


def to_json(pattern: WrittenPattern | SizesPattern) -> str:
    """The pattern as JSON."""
    data = pattern_data(pattern) if isinstance(pattern, WrittenPattern) else sizes_data(pattern)
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
