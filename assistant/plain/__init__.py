"""The plain front ends: line by line for people, JSON lines for scripts."""

from .json_lines import run_json
from .line_by_line import run_plain
from .spoken import hear_json, hear_plain

__all__ = ["hear_json", "hear_plain", "run_json", "run_plain"]
