"""pyAgrum, imported without the warnings that its compiled part raises on loading (as errors they abort Python)."""

from __future__ import annotations

import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pyagrum as gum

__all__ = ["gum"]
