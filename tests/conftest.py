"""Hypothesis tries the same instances on every run, so that a run can be repeated; with the
environment variable EVENROUND_RANDOM set it tries new ones."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("random", derandomize=False, deadline=None)
settings.load_profile("random" if os.environ.get("EVENROUND_RANDOM") else "repeatable")
