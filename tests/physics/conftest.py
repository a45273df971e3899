"""Property tests here are the same on every run and are not timed."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")
