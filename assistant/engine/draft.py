"""One turn in the making: events are added one by one, and the state always shows them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from assistant.dialogue.numbers import amount
from assistant.dialogue.quantities import System
from assistant.dialogue.reply import HeardItem, LimitItem
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard
from assistant.session import events as e
from assistant.session.fold import Visit
from assistant.session.state import VisitState
from assistant.stock import Stock
from knowledge import KnowledgeBase


@dataclass
class Draft:
    """What a turn collects before it is shown: events, read-backs, remarks, limits, a question."""

    kb: KnowledgeBase
    visit: Visit
    now: datetime
    note: int
    units: System = "us"
    spoken: bool = False
    text: str = ""
    events: list[e.AnyEvent] = field(default_factory=list)
    heard: list[HeardItem] = field(default_factory=list)
    not_understood: list[str] = field(default_factory=list)
    remarks: list[Said] = field(default_factory=list)
    limits: list[LimitItem] = field(default_factory=list)
    question: Said | None = None
    unclear: Heard | None = None
    """Item that must be asked back before it counts."""
    awaited: Said | None = None
    """Question for an input that a calculation still needs; it goes before what the visit asks."""
    wanted: list[Heard] = field(default_factory=list)
    """Requests that can only be answered once the diagnosis is known: why, suspects."""
    answer: list[Said] = field(default_factory=list)
    """Answers to what the technician asked for (why, limits, status)."""
    said: list[Said] = field(default_factory=list)
    """Danger, remarks and answers of the turn, without what the diagnosis makes of it; filled with the reply."""
    making_safe: bool = False
    """True where a step of making safe was reported in this turn, whether it counted or not."""
    action: str | None = None
    """What the desk must do beyond the log: ``write_note``."""
    halted: bool = False
    """True where something was told beside which no next thing is asked for: gas, heat stroke."""
    stock: Stock | None = None
    """The truck, where its parts are listed."""
    repeat: bool = False
    """True where the technician wants everything said again, cautions too."""

    @property
    def state(self) -> VisitState:
        return self.visit.state

    def emit(self, event: type[e.Event], **fields: Any) -> None:
        """Add one event of this turn and fold it in."""
        made: Any = event(seq=self.state.seq + 1, at=self.now, note=self.note, **fields)
        self.events.append(made)
        self.visit = self.visit.extended((made,))

    def remark(self, sentence_id: str, *, signal: str | None = None, **places: str | int | Exception) -> None:
        """Add a sentence to the answer; saying it twice in one turn adds nothing."""
        said = sentence(self.kb, sentence_id, signal=signal, **places)
        if said not in self.remarks:
            self.remarks.append(said)

    def read_back(
        self,
        item: Heard,
        *,
        name: str,
        shown: str,
        kind: str | None = None,
        about: str | None = None,
        value: float | str | None = None,
        quantity: str | None = None,
    ) -> None:
        """Show one thing as it was heard, with its doubts; kind and subject are the item's own where not given.

        Two words for the same ("out, not pulled in") are shown once.
        """
        if shown and any(before.shown == shown for before in self.heard):
            return
        self.heard.append(
            HeardItem(
                kind=kind or item.kind.value,
                about=about or item.about,
                name=name,
                quantity=quantity,
                value=value,
                unit=self.kb.quantities[quantity].unit if quantity else item.unit,
                said=item.said,
                doubt=", ".join(item.doubts) or None,
                shown=shown,
            )
        )

    def amount(self, quantity: str, value: float | None, *, over_limit: bool = False) -> str:
        """Return a canonical value as this technician reads it: number and unit, "OL" for over limit."""
        return amount(self.kb, quantity, value, over_limit=over_limit, system=self.units)

    def tell(self, sentence_id: str, **places: str | int) -> None:
        self.answer.append(sentence(self.kb, sentence_id, signal=None, **places))
