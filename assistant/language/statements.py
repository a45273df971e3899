"""Sentences become readings, plate values and findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .asked_head import asked_by_head
from .clauses import Clause, Sentence
from .findings import finding_of, says_word_of
from .mentions import mentions_of
from .models import Doubt, Heard, Kind
from .pairing import Kind as Predicated
from .pairing import Mention, Pair, Predicate, pair
from .phrases import Mark
from .plate import Printed, measured_again
from .predicates import predicates_of
from .reading_units import Setting
from .readings import reading_of
from .roles import Role
from .shares import expanded, single_values, two_parts
from .topics import Completed, Topic, after_last_note, completed, count_on, counted_on, printed_on
from .words_beside import confirmed, counts_something_else, has_strange_words, strange_name
from .work import Work


def state(work: Work) -> None:
    """Add an item for every value and state of the note that nothing else has used."""
    topic = after_last_note(work)
    for sentence in work.sentences:
        mentions = mentions_of(sentence, work)
        found_pairs = pair(sentence, predicates_of(sentence, work), mentions, work)
        found_pairs = measured_again(work, found_pairs)
        pairs = expanded(two_parts(work, _placed(work, sentence, found_pairs, mentions)), work)
        used = {mention.place for found in pairs for mention in found.mentions}
        waiting = list(mentions)
        for found in pairs:
            _name(topic, waiting, found, used)
            made = _items(work, sentence, found, pairs, topic, mentions)
            work.items.extend(made)
            if found.mentions:
                topic.named.append((_as_resolved(found.mentions[-1], made, work), True))
        topic.named.extend((mention, False) for mention in waiting)


def _as_resolved(mention: Mention, made: Sequence[Heard], work: Work) -> Mention:
    """Return the subject as it was understood, for what is said after it."""
    about = made[-1].about if made else None
    if made and made[-1].kind is Kind.FINDING and len(mention.ids) == 1:
        return mention  # "compressor is hot and clicks": the shell is hot, the compressor clicks
    return replace(mention, ids=(about,)) if about is not None and about in work.kb.subjects else mention


def _ends_in_preposition(work: Work, found: Pair) -> bool:
    """True for "came off", which ties to the place behind it."""
    words = work.words(found.predicate.mark)
    return bool(words) and found.predicate.mark.has(Role.STATE) and words[-1] in work.kb.particles.before_subject


def _placed(work: Work, sentence: Sentence, pairs: Sequence[Pair], mentions: Sequence[Mention]) -> list[Pair]:
    """Let a finding take the place behind it along: loose wire | on the contactor."""
    used = {mention.place for found in pairs for mention in found.mentions}
    result = []
    for found in pairs:
        last = max([found.predicate.place, *(m.place + len(m.marks) - 1 for m in found.mentions)])
        where = next((m for m in mentions if m.place > last and m.clause == found.predicate.clause), None)
        between = sentence.marks[last + 1 : where.place] if where is not None else []
        ties = any(mark.has(Role.BEFORE_SUBJECT) for mark in between) or _ends_in_preposition(work, found)
        tied = ties and not any(mark.content for mark in between)
        if where is not None and where.place not in used and tied and found.mentions:
            result.append(Pair(found.predicate, found.mentions, (*found.where, *where.marks)))
            used.add(where.place)
        else:
            result.append(found)
    return result


def _name(topic: Topic, waiting: list[Mention], found: Pair, used: set[int]) -> None:
    """Take up the subjects named before this value that nothing is said of."""
    while waiting and waiting[0].place < found.predicate.place:
        mention = waiting.pop(0)
        if mention.place not in used:
            topic.named.append((mention, False))


def _items(
    work: Work, sentence: Sentence, found: Pair, pairs: Sequence[Pair], topic: Topic, mentions: Sequence[Mention]
) -> list[Heard]:
    clause = sentence.clauses[found.predicate.clause]
    found = _as_read_before(found, clause, topic)
    doubts = _doubts(found, clause)
    plate = Printed(work, found, pairs, clause.marks, topic)
    if plate.is_printed():
        printed = plate.items(doubts, _span(work, found))
        if printed:
            _spend(work, found)
            topic.printed.extend(printed)
            return printed
    made: list[Heard] = []
    for part in single_values(work, found):
        for mention in part.mentions or (None,):
            item = _one(work, part, mention, topic, mentions, set(doubts))
            if item is not None:
                made.append(item)
    if made:
        _spend(work, found)
        readings = [item for item in made if item.kind is Kind.READING]
        topic.carried = readings[-1].quantity if readings else topic.carried
        count_on(topic, found, readings)
    return made


def _as_read_before(found: Pair, clause: Clause, topic: Topic) -> Pair:
    """Give the print behind a reading the part that was read: the "fan" of "fan 4.9 rated 5" is the capacitor's."""
    number, last = found.predicate.mark, topic.last
    marked = any(mark.has(Role.PLATE) and mark.last <= number.first for mark in clause.marks)
    if last is None or not found.mentions or number.number is None or not marked or not last.marks:
        return found
    named = found.mentions[0]
    narrowed = named.ids and not named.by_order and last.marks == named.marks and last.ids != named.ids
    return replace(found, mentions=(last, *found.mentions[1:])) if narrowed else found


def _one(
    work: Work, found: Pair, mention: Mention | None, topic: Topic, mentions: Sequence[Mention], doubts: set[Doubt]
) -> Heard | None:
    """Return the reading or finding for one value and one subject."""
    predicate = found.predicate
    if mention is not None:
        mention = _part_of_asked(work, mention, predicate)
    near = mention is not None and (mention.clause == predicate.clause or len(found.mentions) > 1)
    if mention is not None and mention.by_order:
        doubts.add(Doubt.ASSUMED)
    span = _span(work, Pair(predicate, (mention,) if mention is not None and near else (), found.where))
    if predicate.kind is Predicated.NUMBER or predicate.zero:
        wanted = "number"
    else:
        predicate = _as_asked(work, predicate, mention)
        wanted = says_word_of(work, predicate, mention)
    if wanted == "state":
        return _seen(work, predicate, mention, topic, doubts, span)
    if predicate.negated or (mention is None and counts_something_else(work, predicate)):
        return None  # "not 240" says what it is not; a correction or a question comes from elsewhere
    whole = Completed()
    named = strange_name(work, predicate)
    setting = Setting(mention, topic=None if named else topic.last, carried=topic.carried, doubts=doubts)
    setting.tied = mention is not None and _is_tied(work, mention)
    if mention is not None and (units := counted_on(work, topic, found, mention)):
        predicate = replace(predicate, named=units)
    if work.context.asked is None or work.context.asked.quantity is None:
        setting.printed = printed_on(work, topic)
    if mention is not None:
        mention = _among_siblings(work, mention, mentions)
        setting.mention = mention
        later = [other for other in mentions if other.place > mention.place]
        whole = completed(work, mention, topic, later) if not mention.by_order else whole  # its place says what it is
        setting.alternatives = whole.ids
        setting.prefer_alternatives = whole.preferred
        setting.carried = whole.carried or topic.carried
    item = confirmed(work, reading_of(work, predicate, setting, *span), predicate)
    if item is not None and whole.source is not None and item.about in whole.ids and whole.preferred:
        work.spend(*whole.source.marks)
    return item


def _seen(
    work: Work, predicate: Predicate, mention: Mention | None, topic: Topic, doubts: set[Doubt], span: tuple[int, int]
) -> Heard | None:
    """Return the finding for a state and what it is said of."""
    if mention is not None and _is_only_measured(work, mention):
        mention = None  # "ants everywhere", "stuck across it": between two test points nothing is seen
    mention = _placed_by_word(work, _looked_at(work, predicate, mention)) if mention is not None else None
    subjects = _subjects(work, predicate, mention, topic)
    danger = any(work.kb.states[said].danger for said in predicate.mark.ids(Role.STATE))
    if not subjects and not danger and has_strange_words(work, predicate):
        return None  # "my knee locked up": it may be said of the word that nobody knows
    found = finding_of(work, predicate, subjects, mention, doubts, span)
    if found is None and mention is not None and (danger or _is_of_one_part(work, predicate)):
        found = finding_of(work, predicate, (), None, doubts, span)  # "unit is a 3 ton with a txv"
    return None if found is not None and _takes_back(work, found) else found


def _placed_by_word(work: Work, mention: Mention) -> Mention:
    """Return which part of one name is meant where another word of the note tells: coil is iced, inside."""
    if len(mention.ids) < 2:
        return mention
    for mark in work.marks:
        ids = work.vocabulary.composites.get(mention.content | set(work.words(mark)), ())
        if mark not in mention.marks and ids and set(ids) < set(mention.ids) and not work.is_spent(mark):
            return replace(mention, ids=ids)
    return mention


def _looked_at(work: Work, predicate: Predicate, mention: Mention) -> Mention:
    """Return the part looked at for the last word of its name with a state asked for: fuse good."""
    asked = work.context.asked
    fits = asked is not None and set(predicate.mark.ids(Role.STATE)) & set(asked.states)
    words = [word for mark in mention.marks for word in work.words(mark)]
    part = asked_by_head(words, work.vocabulary, work.context) if fits else None
    return replace(mention, ids=(part,)) if part is not None else mention


def _takes_back(work: Work, found: Heard) -> bool:
    """True for the "not" of "running inside but not outside": said of another place, not against what was just said."""
    said = (one for one in work.items if one.kind is Kind.FINDING and not one.negated)
    return found.negated and any((one.about, one.state) == (found.about, found.state) for one in said)


def _is_of_one_part(work: Work, predicate: Predicate) -> bool:
    """True for a state that only one part can be in, whatever else is named and known."""
    states = predicate.mark.ids(Role.STATE)
    one_part = all(len(work.kb.states[state].subjects) == 1 for state in states)
    if " ".join(work.words(predicate.mark)) in work.kb.particles.said_of_many:
        return False  # "suction is low" is no word on the air
    own = all(work.kb.states[state].own_name for state in states)
    return bool(states) and own and one_part and not has_strange_words(work, predicate)


def _part_of_asked(work: Work, mention: Mention, predicate: Predicate) -> Mention:
    """Return the part of what was asked about that a short name means: the fan side, where its capacitor is asked."""
    asked = work.context.asked
    number = predicate.mark.number
    if asked is None or not asked.about or asked.quantity is None or number is None or asked.about in mention.ids:
        return mention
    if any(work.vocabulary.is_point(subject, asked.quantity) for subject in mention.ids):
        return mention
    if not number.units and any(work.kb.subjects[subject].part_of for subject in mention.ids):
        return mention  # "herm 38" is the section of the capacitor, also while amps are asked for
    symbols = {unit.symbol for unit in work.kb.quantities[asked.quantity].units}
    if number.units and not any(unit.unit.symbol in symbols for unit in number.units):
        return mention
    for part in work.vocabulary.children.get(asked.about, ()):
        names = work.vocabulary.mentions[part]
        if asked.quantity in work.kb.subjects[part].quantities and any(mention.content <= name for name in names):
            return replace(mention, ids=(part,), content=next(name for name in names if mention.content <= name))
    return mention


def _among_siblings(work: Work, mention: Mention, mentions: Sequence[Mention]) -> Mention:
    """Return what a shared name means beside others: supply beside return is the air, top beside contactor its own."""
    if len(mention.ids) < 2:
        return mention
    named = [one for other in mentions if other is not mention for one in other.ids]
    for wholes in (set(named), {work.kb.subjects[one].part_of for one in named} - {None}):
        ids = tuple(one for one in mention.ids if work.kb.subjects[one].part_of in wholes)
        if ids:
            return replace(mention, ids=ids)
    return mention


def _is_only_measured(work: Work, mention: Mention) -> bool:
    """True for a name of test points, not of a part: across, everywhere."""
    kb = work.kb
    named = {one for mark in mention.marks for one in mark.ids(Role.SUBJECT)}
    names = [mark for mark in mention.marks if mark.has(Role.SUBJECT)]
    if names and all(mark.has(Role.BEFORE_SUBJECT) for mark in names):
        return True
    several = [one for one in map(kb.subjects.__getitem__, named) if {one.id, *one.stands_for} & set(mention.ids)]
    several = [one for one in several if one.stands_for]
    return any(
        not any(kb.quantities[quantity].over_limit for quantity in one.quantities)
        and not any(work.vocabulary.looked_at.get(part) for part in one.stands_for)
        for one in several
    )


def _is_tied(work: Work, mention: Mention) -> bool:
    if not mention.marks:
        return False
    before = [mark for mark in work.marks if mark.last <= mention.marks[0].first][-2:]
    return any(mark.has(Role.BEFORE_SUBJECT) for mark in before)


def _as_asked(work: Work, predicate: Predicate, mention: Mention | None) -> Predicate:
    """Read "nothing" as the state that the pending look question has for it: dead."""
    asked = work.context.asked
    if asked is None or asked.quantity is not None:
        return predicate
    if not predicate.mark.has(Role.ZERO) or predicate.mark.has(Role.STATE):
        return predicate
    if mention is not None and asked.about not in mention.ids:
        return predicate
    nothing = set(work.kb.particles.zero)
    states = tuple(one for one in asked.states if nothing & set(work.kb.states[one].phrases))
    return replace(predicate, mark=replace(predicate.mark, roles={Role.STATE: states[:1]})) if states else predicate


def _subjects(work: Work, predicate: Predicate, mention: Mention | None, topic: Topic) -> tuple[str, ...]:
    """Return whom a state is said of: as said, as named before, as asked."""
    if mention is not None:
        return mention.ids
    states = predicate.mark.ids(Role.STATE)
    looked_at, chain = work.vocabulary.looked_at, work.vocabulary.chain

    def looked(subject: str) -> bool:
        return any(state in looked_at.get(wider, ()) for wider in chain(subject) for state in states)

    asked = work.context.asked
    asked_about = asked.about if asked is not None else None
    if topic.last is not None and asked is not None and _was_just_said(work, topic.last, asked.states):
        return topic.last.ids  # "blower not turning, hums", also where the outdoor fan was asked for
    if topic.last is not None and any(looked(subject) for subject in topic.last.ids):
        return topic.last.ids
    alone = all(mark is predicate.mark or mark.negates for mark in work.content)
    answers = asked is not None and (asked.quantity is None or alone)  # "was fine before" is no word on the volts asked
    if asked is not None and asked_about and (set(states) & set(asked.states) or (answers and looked(asked_about))):
        return (asked_about,)
    if topic.last is not None and any(_may_be(work, state_id, topic.last.ids) for state_id in states):
        return topic.last.ids
    known = asked_about is not None and asked_about in work.kb.subjects
    if asked_about is not None and known and alone and any(_may_be(work, one, (asked_about,)) for one in states):
        return (asked_about,)
    read = work.items[-1] if work.items else None
    if read is not None and read.kind is Kind.READING and read.usable and read.about and looked(read.about):
        return (read.about,)  # "8 amps and it just hums"
    return ()


def _was_just_said(work: Work, last: Mention, states: Sequence[str]) -> bool:
    """True where the last thing heard is such a state of the part named last."""
    heard = work.items[-1] if work.items else None
    return heard is not None and heard.kind is Kind.FINDING and heard.about in last.ids and heard.state in states


def _may_be(work: Work, state_id: str, subjects: Sequence[str]) -> bool:
    listed = work.kb.states[state_id].subjects
    wide = {wider for subject in subjects for wider in work.vocabulary.chain(subject)}
    return not listed or bool(wide & set(listed))


def _doubts(found: Pair, clause: Clause) -> set[Doubt]:
    doubts: set[Doubt] = set()
    if clause.hedged or clause.question:
        doubts.add(Doubt.UNSURE)
    marks = [found.predicate.mark, *(mark for mention in found.mentions for mark in mention.marks)]
    if any(mark.loose for mark in marks):
        doubts.add(Doubt.SPELLING)
    if found.predicate.mark.number is not None and _approximate(found.predicate.mark, clause):
        doubts.add(Doubt.APPROXIMATE)
    return doubts


def _approximate(mark: Mark, clause: Clause) -> bool:
    """True for "about 38", "38 or so", "38ish"."""
    place = clause.marks.index(mark)
    before = [other for other in clause.marks[:place] if other.has(Role.ABOUT_NUMBER) or not other.small]
    behind = clause.marks[place + 1] if place + 1 < len(clause.marks) else None
    beside = [before[-1]] if before else []
    if behind is not None and not behind.has(Role.BEFORE_SUBJECT):
        beside.append(behind)
    return any(other.has(Role.ABOUT_NUMBER) for other in beside)


def _span(work: Work, found: Pair) -> tuple[int, int]:
    predicate = found.predicate
    marks = [predicate.mark, *(mark for mention in found.mentions for mark in mention.marks)]
    marks += [*predicate.negations, *((predicate.hint,) if predicate.hint is not None else ())]
    return work.extent([*marks, *found.where])


def _spend(work: Work, found: Pair) -> None:
    predicate = found.predicate
    work.spend(predicate.mark, *(mark for mention in found.mentions for mark in mention.marks))
    work.spend(*found.where, *predicate.negations, *((predicate.hint,) if predicate.hint is not None else ()))
