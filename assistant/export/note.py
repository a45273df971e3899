"""The job note of a visit: one model, made from state and log, from which every format is rendered."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from assistant.dialogue.quantities import System
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

from .advice import advice, cautions, footer
from .compared import compared
from .findings import findings
from .header import complaint, header, plate
from .left_open import left_open
from .outcome import outcome, work
from .proof import before_and_after, proof
from .record import Record, office_offset, zone_name
from .safety_record import safety_record
from .sections import JobNote, NamedPhoto, TimedText
from .summary import summary
from .unread import unread
from .writing import ALL_FORMATS, write_note

__all__ = ["ALL_FORMATS", "JobNote", "build_note", "write_note"]


def build_note(
    state: VisitState, events: Sequence[e.AnyEvent], kb: KnowledgeBase, *, made_at: datetime, units: System = "us"
) -> JobNote:
    """Return the job note. Pure: the same events, knowledge and ``made_at`` give the same note.

    All times are shown with the UTC offset of ``made_at``; without one in it ValueError is raised.
    """
    offset = office_offset(made_at)
    record = Record(state, events, kb, offset, units)
    lines = findings(record)
    ended = outcome(record, lines)
    proofs = proof(record)
    open_points = left_open(record, proofs)
    done = work(record)
    head = header(record)
    return JobNote(
        made_at=record.local(made_at),
        zone=zone_name(offset),
        title=head.place or head.visit,
        summary=summary(record, ended, done, proofs, open_points),
        advice=advice(record, ended, proofs),
        left_open=open_points,
        header=head,
        plate=plate(record),
        complaint=complaint(record),
        outcome=ended,
        work=done,
        proof=proofs,
        before_after=before_and_after(record, lines),
        compared=compared(record),
        readings=tuple(line for line in lines if line.kind == "reading" and line.counts),
        findings=lines,
        safety=safety_record(record),
        cautions=cautions(record, ended),
        photos=tuple(NamedPhoto(at=record.local(one.at), path=one.path, caption=one.caption) for one in state.photos),
        free_notes=tuple(TimedText(at=record.local(note.at), text=note.text) for note in state.notes),
        unread=unread(record),
        footer=footer(record),
    )
