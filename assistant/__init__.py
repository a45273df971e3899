"""Padside: offline field assistant for a "not cooling" service call."""

__version__ = "0.1.0"
