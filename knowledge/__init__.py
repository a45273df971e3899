"""Facts of the trade as data: strict YAML, frozen models, loader, linter. Imports nothing else of ours."""

from .base import KnowledgeBase, load, read_knowledge
from .errors import KnowledgeError, KnowledgeErrors, YamlFileError

__all__ = ["KnowledgeBase", "KnowledgeError", "KnowledgeErrors", "YamlFileError", "load", "read_knowledge"]
