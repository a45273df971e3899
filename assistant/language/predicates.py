"""Values and states of a sentence with what binds to them: negation, a named quantity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.quantity import Quantity

from .clauses import Clause, Sentence
from .pairing import Kind, Predicate
from .phrases import Mark
from .roles import Role
from .tokens import words_of
from .vocabulary import UnitMeaning
from .work import Work

_WORDS = (Role.STATE, Role.ZERO, Role.OVER_LIMIT)


def predicates_of(sentence: Sentence, work: Work) -> list[Predicate]:
    """Return the values and states of a sentence that nothing else has used, in order."""
    found: list[Predicate] = []
    place = 0
    for index, clause in enumerate(sentence.clauses):
        inside: list[Predicate] = []
        for offset, mark in enumerate(clause.marks):
            if not work.is_spent(mark):
                kind = _kind(clause.marks, offset, work)
                if kind is not None:
                    inside.append(Predicate(place + offset, mark, kind, index))
        inside.extend(_named_zeros(clause, place, index, work))
        if not inside:
            inside.extend(_denied_points(clause, place, index, work))
        inside.sort(key=lambda predicate: predicate.place)
        negated = _negate(inside, clause, place, work)
        again = _left_out(clause, place, index, [*found, *negated], work)
        found.extend([*negated, again] if again is not None and again.place > _last_place(negated) else negated)
        place += len(clause.marks)
    return _name_quantities(_without_judgements(found, sentence, work), sentence, work)


def _without_judgements(found: list[Predicate], sentence: Sentence, work: Work) -> list[Predicate]:
    """Leave out the "good" of "cap reads 37 on a 40, good": it judges the value, and is no look at the part."""
    asked = work.context.asked
    looking = set(asked.states) if asked is not None and asked.quantity is None else set()
    kept: list[Predicate] = []
    for nth, predicate in enumerate(found):
        states = set(predicate.mark.ids(Role.STATE))
        words = " ".join(work.words(predicate.mark))
        judges = words in work.kb.particles.judging and not states & looking
        if judges and nth and found[nth - 1].mark.number is not None and _is_of_value(found, nth, sentence, work):
            work.spend(predicate.mark, *predicate.negations)
        else:
            kept.append(predicate)
    return kept


def _is_of_value(found: Sequence[Predicate], nth: int, sentence: Sentence, work: Work) -> bool:
    """True where no part is named between value and word but the one it was read at, and none right behind."""
    value, word = found[nth - 1], found[nth]
    between = sentence.marks[value.place + 1 : word.place]
    named = [place for place, mark in enumerate(between) if mark.has(Role.SUBJECT) and not mark.small]
    ties = work.kb.particles.before_subject
    if any(not _is_tied(between[:place]) and work.words(between[place])[0] not in ties for place in named):
        return False
    behind = next((mark for mark in sentence.marks[word.place + 1 :] if mark.content), None)
    same = behind is not None and sentence.clause_of(behind) == word.clause and behind.has(Role.SUBJECT)
    own = nth + 1 < len(found) and behind is not None and found[nth + 1].mark.first >= behind.last
    return not same or own


def _is_tied(before: Sequence[Mark]) -> bool:
    """True for the "coil" of "24 at the coil": a preposition stands before it, and at most small words between."""
    last = next((mark for mark in reversed(before) if mark.has(Role.BEFORE_SUBJECT) or not mark.small), None)
    return last is not None and last.has(Role.BEFORE_SUBJECT)


def _kind(marks: Sequence[Mark], offset: int, work: Work) -> Kind | None:
    mark = marks[offset]
    if mark.number is not None:
        return Kind.NUMBER
    if not any(mark.has(role) for role in _WORDS) or (mark.has(Role.SUBJECT) and not mark.has(Role.ZERO)):
        return None
    if _denies_state(marks, offset):
        return None
    following = next((other for other in marks[offset + 1 :] if other.content), None)
    if mark.has(Role.MEASURED) and following is not None and following.number is not None:
        work.spend(mark)  # "it pulled 88 amps"
        return None
    if mark.small and not _was_so(marks, offset, work) and not _ends_what_is_said(marks, offset, work):
        return None
    return Kind.WORD


def _ends_what_is_said(marks: Sequence[Mark], offset: int, work: Work) -> bool:
    """True where a small word like "in" or "off" is a state: right behind a subject that can be so, or alone."""
    mark = marks[offset]
    before = [other for other in marks[:offset] if other.content]
    behind = [other for other in marks[offset + 1 :] if not _says_nothing_more(other, work)]
    following = marks[offset + 1] if behind else None
    if not before:
        others = [other for other in work.marks if other.content]
        return not others and following is None
    followed = (Role.NUMBER, Role.ZERO, Role.SUBJECT)
    if following is not None and not any(following.has(role) for role in followed):
        return False
    if not before[-1].has(Role.SUBJECT) or _is_taken(marks[:offset], before, work):
        return False
    named = before[-1].ids(Role.SUBJECT)
    each = (part for subject in named for part in (subject, *work.kb.subjects[subject].stands_for))
    wide = {wider for subject in each for wider in work.vocabulary.chain(subject)}
    if following is None and before[-1].last == mark.first and _is_of_anything(mark, work):
        return True
    return any(_said_of(state, wide, work) for state in mark.ids(Role.STATE))


def _says_nothing_more(mark: Mark, work: Work) -> bool:
    """True for the "either" of "blower aint on either"; "it" and "the" may yet name what "on" is tied to."""
    ties = {*work.kb.particles.pronoun, *work.kb.particles.article}
    return set(mark.roles) == {Role.FILLER} and ties.isdisjoint(work.words(mark))


def _is_of_anything(mark: Mark, work: Work) -> bool:
    """True for a small word such as "ok" that is said of any part."""
    told = set(work.words(mark)) <= work.vocabulary.telling_fillers
    return told and any(not work.kb.states[state].subjects for state in mark.ids(Role.STATE))


def _was_so(marks: Sequence[Mark], offset: int, work: Work) -> bool:
    """True for "breaker was off", whatever follows."""
    named = [mark for mark in marks[:offset] if mark.content]
    if not offset or not marks[offset - 1].has(Role.FOUND) or not named or not named[-1].has(Role.SUBJECT):
        return False
    wide = {wider for subject in named[-1].ids(Role.SUBJECT) for wider in work.vocabulary.chain(subject)}
    return any(_said_of(state, wide, work) for state in marks[offset].ids(Role.STATE))


def _is_taken(marks: Sequence[Mark], content: Sequence[Mark], work: Work) -> bool:
    """True where the subject belongs to a value before it: 240 on the line side, ok."""
    if len(content) < 2 or not (content[-2].number is not None or content[-2].has(Role.ZERO)):
        return False
    tied = any(mark.has(Role.BEFORE_SUBJECT) for mark in marks if content[-2].last <= mark.first < content[-1].first)
    return tied or work.words(content[-1])[0] in work.kb.particles.before_subject  # 120 to ground, on each leg


def _said_of(state: str, subjects: set[str], work: Work) -> bool:
    listed = set(work.kb.states[state].subjects)
    return bool(listed & subjects) or any(state in work.vocabulary.looked_at.get(subject, ()) for subject in subjects)


def _named_zeros(clause: Clause, place: int, index: int, work: Work) -> list[Predicate]:
    """ "No voltage", "no amps": a negation and a quantity without a number."""
    found = []
    for offset, mark in enumerate(clause.marks):
        if mark.number is not None or not (mark.has(Role.QUANTITY) or mark.has(Role.UNIT)) or not _is_named(mark, work):
            continue
        before = [other for other in clause.marks[:offset] if other.content or other.negates]
        if before and before[-1].negates:
            named = unit_meanings(mark, work)
            found.append(
                Predicate(
                    place + offset, mark, Kind.WORD, index, negations=(before[-1],), named=named, hint=mark, zero=True
                )
            )
    return found


def _denied_points(clause: Clause, place: int, index: int, work: Work) -> list[Predicate]:
    """ "No low voltage at the condenser": a point that is named by its quantity is said to have none."""
    for offset, mark in enumerate(clause.marks):
        if not mark.has(Role.SUBJECT) or work.is_spent(mark):
            continue
        before = [n for n in range(offset) if clause.marks[n].content or clause.marks[n].negates]
        words = [word for word in work.words(mark) if len(word) > 1]
        units = (work.vocabulary.units.get((word,), ()) or _quantity(word, work) for word in words)
        named = next((unit for unit in units if unit), ())
        if named and before and clause.marks[before[-1]].negates:
            no = clause.marks[before[-1]]
            return [Predicate(place + before[-1], no, Kind.WORD, index, negations=(no,), named=named, zero=True)]
    return []


def _quantity(word: str, work: Work) -> tuple[UnitMeaning, ...]:
    quantity = work.kb.quantities.get(word)
    return (work.vocabulary.usual_unit(quantity),) if quantity is not None else ()


def _negate(inside: list[Predicate], clause: Clause, place: int, work: Work) -> list[Predicate]:
    """Bind each "not" to the value or state behind it in the clause, else to the one right before it."""
    result = list(inside)
    for offset, mark in enumerate(clause.marks):
        if mark.negates and answers_no(work, mark):
            work.spend(mark)
            continue
        denies = mark.negates or _denies_state(clause.marks, offset)
        if not denies or work.is_spent(mark) or any(mark in predicate.negations for predicate in result):
            continue
        after = [n for n, predicate in enumerate(result) if predicate.place > place + offset]
        before = [n for n, predicate in enumerate(result) if predicate.place < place + offset]
        chosen = after[0] if after else before[-1] if before and _belongs_before(clause, offset) else None
        if chosen is None:
            continue
        predicate = result[chosen]
        number = predicate.mark.number
        counted = number is not None and bool(number.units) and work.words(mark)[0] in work.kb.particles.none_of
        zero = predicate.kind is Kind.NUMBER and (counted or _names_place(clause, work))
        negations = (*predicate.negations, mark)
        negated = not zero and not _says_nothing(predicate.mark, work)
        result[chosen] = replace(predicate, negated=negated, negations=negations, zero=zero)
    return result


def answers_no(work: Work, mark: Mark) -> bool:
    """True for the "no" of "no its out": it opens the note and a sentence of its own follows."""
    if any(other.first < mark.first and (other.content or not other.small) for other in work.marks):
        return False
    behind = work.tokens[mark.last : mark.last + 1]
    return mark.has(Role.INTENT) and bool(behind) and behind[0].word in work.kb.particles.pronoun


def _denies_state(marks: Sequence[Mark], offset: int) -> bool:
    """True for the "nothing" of "nothing burnt", "nothing is running"."""
    mark = marks[offset]
    if not mark.has(Role.ZERO) or mark.has(Role.STATE) or mark.has(Role.SUBJECT) or mark.number is not None:
        return False
    following = next((other for other in marks[offset + 1 :] if other.content), None)
    return following is not None and following.has(Role.STATE) and not following.has(Role.ZERO)


def _says_nothing(mark: Mark, work: Work) -> bool:
    """True for "doing nothing": "ain't doing nothing" says the same, only louder."""
    words = work.words(mark)
    return len(words) > 1 and not work.vocabulary.nothing_words.isdisjoint(words)


def _belongs_before(clause: Clause, offset: int) -> bool:
    """True for a "not" that ends the clause right behind a value or state: running, not."""
    marks = clause.marks
    if any(mark.content for mark in marks[offset + 1 :]):
        return False
    content = [mark for mark in marks[:offset] if mark.content]
    return not (content and content[-1].has(Role.SUBJECT))


def _left_out(clause: Clause, place: int, index: int, before: list[Predicate], work: Work) -> Predicate | None:
    """ "Compressor doesn't", "compressor is": the state said of the subject before, taken up again."""
    said = [predicate for predicate in before if predicate.mark.has(Role.STATE)]
    named = [n for n, mark in enumerate(clause.marks) if mark.has(Role.SUBJECT) and not work.is_spent(mark)]
    if not said or not named:
        return None
    takers = [n for n, mark in enumerate(clause.marks) if mark.negates and not work.is_spent(mark)]
    if not any(predicate.clause == index for predicate in before):
        last = len(clause.marks) - 1
        takers += [last] if clause.marks[last].has(Role.QUESTION) and clause.marks[last].small else []
    bound = {id(mark) for predicate in before for mark in predicate.negations}
    free = [n for n in takers if id(clause.marks[n]) not in bound and _takes(clause, n, named[-1], before, place)]
    base = _base(said[-1], work)
    if not free or base is None:
        return None
    taker = clause.marks[free[-1]]
    copied = Mark(taker.first, taker.last, {Role.STATE: base})
    return Predicate(place + free[-1], copied, Kind.WORD, index, negated=taker.negates)


def _base(predicate: Predicate, work: Work) -> tuple[str, ...] | None:
    """Return the states without their "not": running of "isn't running", which is one phrase."""
    states = predicate.mark.ids(Role.STATE)
    negative = {word for phrase in work.kb.particles.negation for word in words_of(phrase)}
    if not negative & set(work.words(predicate.mark)):
        return states
    return tuple(state.id for state in work.kb.states.values() if state.opposite in states) or None


def _takes(clause: Clause, taker: int, subject: int, before: list[Predicate], place: int) -> bool:
    """True for a "not" or "is" that has nothing of its own behind it but takes the state said before."""
    if taker <= subject:
        return _ties_to(clause, taker, subject)
    own = any(place + subject < predicate.place < place + taker for predicate in before)
    return not own and not any(mark.content for mark in clause.marks[taker + 1 :])


def _ties_to(clause: Clause, negation: int, subject: int) -> bool:
    """True where a "no" or "without" stands right before the subject but for small words."""
    return negation < subject and all(mark.small for mark in clause.marks[negation + 1 : subject])


def _last_place(found: list[Predicate]) -> int:
    return max((predicate.place for predicate in found), default=-1)


def _names_place(clause: Clause, work: Work) -> bool:
    """ "No 24 at the coil", "no 24 volts" is no voltage there; "not 24" alone is a correction."""
    return any(mark.has(Role.SUBJECT) and not work.is_spent(mark) for mark in clause.marks)


def _name_quantities(found: list[Predicate], sentence: Sentence, work: Work) -> list[Predicate]:
    """Give numbers without a unit the quantity that was named before them in the sentence, or behind them."""
    marks = sentence.marks
    named_at = [
        (place, mark)
        for place, mark in enumerate(marks)
        if mark.number is None and (mark.has(Role.QUANTITY) or mark.has(Role.UNIT)) and _is_named(mark, work)
    ]
    result = []
    for predicate in found:
        number = predicate.mark.number
        countable = number is not None or predicate.mark.has(Role.ZERO)
        if predicate.named or not countable or (number is not None and number.units):
            result.append(predicate)
            continue
        hint = _nearest_name(predicate, named_at, sentence)
        if hint is None and _says_unit_once(result, predicate, work):
            result.append(replace(predicate, named=result[-1].named, hint=result[-1].hint))
        elif hint is None:
            result.append(predicate)
        else:
            result.append(replace(predicate, named=unit_meanings(hint, work), hint=hint))
    return result


def _says_unit_once(before: Sequence[Predicate], predicate: Predicate, work: Work) -> bool:
    """True for the 120 of "millivolts 80 and 120": only a joining word stands between it and a number so counted."""
    last = before[-1] if before else None
    if last is None or last.mark.number is None or predicate.mark.number is None or last.hint is None:
        return False
    between = [token.word for token in work.tokens[last.mark.last : predicate.mark.first]]
    counted = last.hint.has(Role.UNIT) and last.hint.last <= last.mark.first
    return counted and len(between) == 1 and between[0] in work.kb.particles.point_both


def _is_named(mark: Mark, work: Work) -> bool:
    """A single letter is a unit only behind its number."""
    long = sum(len(word) for word in work.words(mark)) > 1
    return long and not mark.small and not work.is_spent(mark) and not mark.has(Role.SUBJECT)


def _nearest_name(predicate: Predicate, named_at: list[tuple[int, Mark]], sentence: Sentence) -> Mark | None:
    clause = sentence.clauses[predicate.clause]
    before = [mark for place, mark in named_at if place < predicate.place and _lasts(mark, clause)]
    if before:
        return before[-1]
    behind = [mark for place, mark in named_at if place > predicate.place and mark in clause.marks]
    return behind[0] if behind else None


def _lasts(mark: Mark, clause: Clause) -> bool:
    """True for a quantity named for all that follows (amps 14, fan 1), and for a unit within its own clause."""
    return mark.has(Role.QUANTITY) or mark in clause.marks


def unit_meanings(mark: Mark, work: Work) -> tuple[UnitMeaning, ...]:
    """Return the units a word for a quantity or unit stands for."""
    units = work.vocabulary.units.get(work.words(mark), ())
    if units:
        return units
    quantities = (work.kb.quantities[quantity] for quantity in mark.ids(Role.QUANTITY))
    return tuple(work.vocabulary.usual_unit(quantity) for quantity in quantities)


def canonical_unit(quantity: Quantity) -> UnitMeaning:
    """Return the unit that values of a quantity are kept in."""
    unit = next((unit for unit in quantity.units if unit.symbol == quantity.unit), quantity.units[0])
    return UnitMeaning(quantity, unit)
