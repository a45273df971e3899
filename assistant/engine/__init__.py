"""The only place where a note becomes events and a reply. No I/O; the clock is injected."""

from .core import Engine, Turn

__all__ = ["Engine", "Turn"]
