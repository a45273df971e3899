"""The linter of the knowledge: small rules, findings with file and line, exceptions with a reason."""

from .rule import Finding, Rule, Severity
from .run import FAILING, RULES, lint, summary

__all__ = ["FAILING", "RULES", "Finding", "Rule", "Severity", "lint", "summary"]
