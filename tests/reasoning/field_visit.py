"""A whole visit by a policy, as practice plays it for its shortest path."""

from __future__ import annotations

from assistant.practice.field_visit import Policy, Visit, ask_the_diagnosis, run_visit

__all__ = ["Policy", "Visit", "ask_the_diagnosis", "run_visit"]
