"""One Hypothesis profile for every test: the same examples each run, no clock."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True, database=None)
settings.load_profile("steady")
