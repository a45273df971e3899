"""What a run of words can be in a note."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class Role(StrEnum):
    """Parts a run of words can play; one run may fit several."""

    SUBJECT = "subject"
    STATE = "state"
    COMPLAINT = "complaint"
    INTENT = "intent"
    ACT = "act"
    """Word of doing that makes an intent together with a subject: replaced."""
    PLATE_ITEM = "plate item"
    BUILT = "built"
    """How the unit is built: its kind, or a choice of one of its options."""
    UNIT = "unit"
    QUANTITY = "quantity"
    """A quantity named without a number: voltage, resistance."""
    NUMBER = "number"
    NEGATION = "negation"
    HEDGE = "hedge"
    PLATE = "plate"
    MEASURED = "measured"
    CORRECTION = "correction"
    CLAUSE = "clause"
    ABOUT_NUMBER = "about number"
    ZERO = "zero"
    OVER_LIMIT = "over limit"
    FREE_NOTE = "free note"
    BEFORE_SUBJECT = "before subject"
    RANGE_OPEN = "range open"
    RANGE_JOIN = "range join"
    PAIR_JOIN = "pair join"
    LIKEWISE = "likewise"
    BOTH_SIDES = "both sides"
    NOT_DONE = "not done"
    LONG_AGO = "long ago"
    QUESTION = "question"
    FOUND = "found"
    CHOICE = "choice"
    CLOCK = "clock"
    """A time of the day, which no meter shows and no plate prints."""
    PLAIN = "plain"
    FILLER = "filler"
    UNKNOWN = "unknown"


CONTENT = frozenset(
    {
        Role.SUBJECT,
        Role.STATE,
        Role.COMPLAINT,
        Role.INTENT,
        Role.ACT,
        Role.PLATE_ITEM,
        Role.BUILT,
        Role.UNIT,
        Role.QUANTITY,
        Role.NUMBER,
        Role.ZERO,
        Role.OVER_LIMIT,
        Role.FREE_NOTE,
        Role.CLOCK,
        Role.PLAIN,
        Role.UNKNOWN,
    }
)
"""Roles that carry meaning of their own; the others only colour what stands beside them."""


class Meaning(NamedTuple):
    """One thing a phrase of the vocabulary stands for."""

    role: Role
    id: str
    """Subject, state, intent ... id; the phrase's own list for particles."""
