"""An audit for machines: JSON with every round, CSV one line a round and size.

The JSON object has ``terms, chain_counts, repeat_means, rounds, first_fault, unread`` and behind
them keys of our own. A round has ``label, size, uses, has, makes, printed, agrees, readings,
note`` and behind them ``section, line, standing, places, counts, fits, went_on_from``: ``makes``
is counted as the first printed count is, ``places`` is everything the next round can be worked
into, ``counts`` has all printed counts. ``readings`` is {} or the counts of a left-over by
reading (whole, part, plain). Unknown is null.
"""

from __future__ import annotations

import json

from evenround.tables.rounds.pattern import Unread
from evenround.tables.safe import csv_text

from .findings import Audit, Fault, RoundAudit

COLUMNS = (
    "section",
    "label",
    "size",
    "line",
    "uses",
    "has",
    "makes",
    "printed",
    "what",
    "agrees",
    "standing",
    "whole",
    "part",
    "plain",
    "note",
)


def to_json(audit: Audit) -> str:
    """The audit as one JSON object, two spaces a level."""
    first = audit.first_fault
    whole = {
        "terms": audit.terms,
        "chain_counts": audit.chain_counts,
        "repeat_means": audit.repeat_means,
        "rounds": [_round(one) for one in audit.rounds],
        "first_fault": None if first is None else _fault(first),
        "unread": [_unread(one) for one in audit.unread],
        "agrees": audit.agrees,
        "terms_why": audit.terms_why,
        "chain_why": audit.chain_why,
        "repeat_why": audit.repeat_why,
        "sizes": list(audit.sizes),
        "faults": [_fault(fault) for fault in audit.faults],
        "notes": list(audit.notes),
        "findings": [{"about": f.about, "text": f.words, "wrong": f.wrong} for f in audit.findings],
        "cautions": list(audit.cautions),
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _round(one: RoundAudit) -> dict[str, object]:
    return {
        "label": one.label,
        "size": one.size,
        "uses": one.uses,
        "has": one.has,
        "makes": one.makes,
        "printed": one.printed,
        "agrees": one.agrees,
        "readings": dict(one.readings),
        "note": one.note,
        "section": one.section,
        "line": one.line,
        "standing": one.standing,
        "places": one.places,
        "counts": [
            {"what": k.what, "printed": k.printed, "makes": k.made, "agrees": k.agrees}
            for k in one.kinds
        ],
        "fits": list(one.fits),
        "went_on_from": one.went_on_from,
    }


def _fault(fault: Fault) -> dict[str, object]:
    return {
        "label": fault.label,
        "size": fault.size,
        "section": fault.section,
        "line": fault.line,
        "what": fault.what,
        "mends": list(fault.mends),
        "inherits": list(fault.inherits),
    }


def _unread(one: Unread) -> dict[str, object]:
    return {
        "line": one.where.line,
        "column": one.where.column,
        "text": one.text,
        "why": one.why,
    }


def to_csv(audit: Audit) -> str:
    """One line a round and size; empty where nothing is known or printed."""
    rows = []
    for one in audit.rounds:
        readings = dict(one.readings)
        agrees = "" if one.agrees is None else "yes" if one.agrees else "no"
        what = one.kinds[0].what if one.kinds else ""
        row = [one.section, one.label, one.size, one.line, one.uses, one.has, one.makes]
        row += [one.printed, what, agrees, one.standing]
        row += [readings.get("whole"), readings.get("part"), readings.get("plain"), one.note]
        rows.append(row)
    return csv_text(COLUMNS, rows)
