"""What all tests share."""

from __future__ import annotations

from hypothesis import settings

# the same examples every time: what fails once fails again, here and elsewhere
settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")
