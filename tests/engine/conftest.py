"""Fixtures of the conversation tests."""

from tests.engine.conversation import visit

__all__ = ["visit"]
