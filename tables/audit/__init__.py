"""Judging a written pattern: every round counted, what disagrees, what would mend it.

``audit_pattern`` is the front door; ``Audit`` and what it holds are plain frozen data.
"""

from .audit import audit_pattern
from .findings import Audit, Fault, Finding, Kind, RoundAudit

__all__ = ["Audit", "Fault", "Finding", "Kind", "RoundAudit", "audit_pattern"]
