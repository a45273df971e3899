"""What the technician asks of the diagnosis: why this, why not that, may I, what else could it be."""

from __future__ import annotations

from assistant.dialogue.sentences import Said, sentence
from assistant.reasoning.diagnosis import CheckNext, Diagnosis, Suspect

from .draft import Draft
from .matching import subject_chain
from .planning import Plan
from .waiting import tell_meanwhile

SHOWN_SUSPECTS = 5
_SUSPECTS_OF_PART = 2
_SHOWN_AGAINST = 2


def answer_wanted(draft: Draft, plan: Plan, diagnosis: Diagnosis | None) -> list[Said]:
    """Return the answers that need the diagnosis: why, why not, may I, what else could it be."""
    kb, said = draft.kb, []
    for item in draft.wanted:
        if item.about == "why":
            said.extend(_why_part(draft, plan, diagnosis, item.subject) or _why(draft, plan, diagnosis))
        elif item.about == "allowed":
            said.extend(_allowed(draft, diagnosis, item.subject))
        elif item.about == "why_not" and diagnosis is not None:
            said.extend(_why_not(draft, diagnosis, item.subject))
        elif item.about == "suspects" and diagnosis is not None:
            said.extend(map(_said, diagnosis.suspects(SHOWN_SUSPECTS)))
        elif item.about == "meanwhile":
            said.extend(tell_meanwhile(draft, diagnosis))
        elif item.about in {"why_not", "suspects"}:
            said.append(sentence(kb, "no_diagnosis_yet"))
    return said


def _why_part(draft: Draft, plan: Plan, diagnosis: Diagnosis | None, subject: str | None) -> list[Said]:
    """Say which suspects a named part has; empty where the plan's own reason answers it."""
    kb = draft.kb
    if subject is None or diagnosis is None or subject not in kb.subjects:
        return []
    if plan.check is not None and plan.repair is None and _concerns(draft, plan.check.about, subject):
        return []
    lines = _suspected(draft, diagnosis, subject)
    return lines or [sentence(kb, "part_not_suspected", name=kb.subjects[subject].name)]


def _why(draft: Draft, plan: Plan, diagnosis: Diagnosis | None) -> list[Said]:
    kb = draft.kb
    if plan.repair is not None and diagnosis is not None:
        return [Said(line, line) for line in diagnosis.explain(plan.repair.id)]
    said = []
    if isinstance(plan.decision, CheckNext) and diagnosis is not None:
        expected = diagnosis.expected(plan.decision.check)
        if expected.fault != expected.healthy:
            names = {"good": expected.healthy, "fault": expected.fault_name, "bad": expected.fault}
            said.append(sentence(kb, "why_expected", **names))
        else:
            said.append(Said(plan.decision.because, plan.decision.because))
    if plan.missing:
        said.append(sentence(kb, "why_steps"))
    return said or [sentence(kb, "no_diagnosis_yet")]


def _why_not(draft: Draft, diagnosis: Diagnosis, subject: str | None) -> list[Said]:
    """Say how likely the faults of a part are, and what speaks against each."""
    lines: list[Said] = []
    for suspect in diagnosis.suspects_among(_faults_of(draft, subject), _SUSPECTS_OF_PART):
        lines.append(_said(suspect))
        against = diagnosis.why_not(suspect.faults[0])[:_SHOWN_AGAINST]
        lines += [Said(line, line) for line in against] or [sentence(draft.kb, "nothing_against")]
    return lines or [sentence(draft.kb, "nothing_against")]


def _faults_of(draft: Draft, subject: str | None) -> set[str]:
    faults = draft.kb.faults.values()
    return {fault.id for fault in faults if subject is not None and _concerns(draft, fault.part, subject)}


def _allowed(draft: Draft, diagnosis: Diagnosis | None, subject: str | None) -> list[Said]:
    """Answer "can I", "should I": that gives no leave, but says how suspect the part is, and why if it is proposed."""
    if diagnosis is None:
        return [sentence(draft.kb, "allowed")]
    suspected, proposed = _suspected(draft, diagnosis, subject), draft.state.proposed
    if proposed is None or not _faults_of(draft, subject) & set(proposed.cause):
        return [sentence(draft.kb, "allowed"), *suspected]
    return [*suspected, *(Said(line, line) for line in diagnosis.explain(proposed.repair))]


def _suspected(draft: Draft, diagnosis: Diagnosis, subject: str | None) -> list[Said]:
    """Return those of the shown suspects that are faults of a part."""
    faults = _faults_of(draft, subject)
    return [_said(one) for one in diagnosis.suspects(SHOWN_SUSPECTS) if faults & set(one.faults)]


def _said(suspect: Suspect) -> Said:
    line = f"{suspect.word}: {suspect.name}"
    return Said(line, line)


def _concerns(draft: Draft, part: str, subject: str) -> bool:
    return subject in subject_chain(draft.kb, part)
