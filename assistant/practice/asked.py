"""Which check the apprentice asks for: "volts across the contactor line side", "look at the capacitor"."""

from __future__ import annotations

from collections.abc import Sequence

from rapidfuzz import fuzz

from assistant.language.naming import Named, names_in
from assistant.language.tokens import words_of
from knowledge import KnowledgeBase
from knowledge.models.check import Check, Residual
from knowledge.models.practice import Practice


def checks_asked(text: str, kb: KnowledgeBase, practice: Practice) -> tuple[Check, ...]:
    """Return the checks that the words may mean, best first; one where they are clear, none where they are no wish."""
    named = names_in(text, kb)
    measured = [check for check in kb.checks.values() if not isinstance(check.measure, Residual)]
    by_name = [check for check in measured if _likeness(check, named, practice) >= practice.alike]
    if by_name:
        return (max(by_name, key=lambda check: _likeness(check, named, practice)),)
    subjects = set(named.subjects)
    exact = [check for check in measured if {check.about, *check.also_about} & subjects]
    wide = [check for check in measured if check not in exact and subjects & _around(kb, check)]
    for pool in (exact, [*exact, *wide]):
        fitting = _fitting(pool, named, practice)
        if fitting:
            return _closest(fitting, named, strangers=pool is exact)
    elsewhere = [check for check in _fitting(measured, named, practice) if _shares_word(check, named, practice)]
    if elsewhere:
        return _closest(elsewhere, named, strangers=True)
    return _closest(exact or wide, named, strangers=bool(exact))


def _shares_word(check: Check, named: Named, practice: Practice) -> bool:
    return bool(set(words_of(check.name)) & set(named.words) - set(practice.words.small))


def _likeness(check: Check, named: Named, practice: Practice) -> float:
    """How like the name of a check the words are, percent, whatever their order."""
    small = set(practice.words.small)
    name = [word for word in words_of(check.name) if word not in small]
    said = [word for word in named.words if word not in small and (word in name or word not in practice.words.look)]
    return fuzz.token_sort_ratio(" ".join(name), " ".join(said))


def _around(kb: KnowledgeBase, check: Check) -> set[str]:
    """What the thing of a check is part of."""
    found: set[str] = set()
    for subject in (check.about, *check.also_about):
        current: str | None = subject
        while current is not None and current not in found:
            found.add(current)
            current = kb.subjects[current].part_of
    return found


def _fitting(pool: Sequence[Check], named: Named, practice: Practice) -> list[Check]:
    """Return the checks of the kind that was asked for: of that quantity, or done with that sense."""
    if named.quantities:
        return [check for check in pool if check.quantity in named.quantities]
    looks = [practice.words.look[word] for word in named.words if word in practice.words.look]
    meant = {check for several in looks for check in several}
    if meant:
        return [check for check in pool if check.id in meant]
    if looks:
        return [check for check in pool if check.quantity is None] or [check for check in pool if check.answers]
    return [check for check in pool if check.quantity] if set(named.words) & set(practice.words.measure) else []


def _closest(found: Sequence[Check], named: Named, *, strangers: bool) -> tuple[Check, ...]:
    """Return those whose name has most of the words said; ``strangers``: and fewest words that were not."""
    said = frozenset(named.words)

    def closeness(check: Check) -> float:
        words = frozenset(words_of(check.name))
        return len(words & said) - (0.1 * len(words - said) if strangers else 0.0)

    best = max((closeness(check) for check in found), default=0.0)
    return tuple(check for check in found if closeness(check) == best)
