"""What is said aloud becomes notes: believed, asked back, or not taken; and words for the voice itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from assistant.dialogue.reply import Reply
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Context, Kind
from assistant.language.understand import understand
from knowledge import KnowledgeBase
from speech.messages import Phrase

from .judge import Belief, Verdict, is_clear_yes, is_no, judge
from .number_speech import NumberSpeaker

if TYPE_CHECKING:
    from assistant.desk import Desk

_SLOWEST, _FASTEST, _STEP = 90, 260, 25
_REPEAT = "repeat"


@dataclass
class Manner:
    """How the voice speaks; changed by saying so."""

    words_per_minute: int = 160
    muted: bool = False


@dataclass(frozen=True, slots=True)
class Answered:
    """What came of one phrase."""

    reply: Reply
    note: str
    """What was heard, as a note; empty where nothing was."""
    control: str | None = None
    """Set where the words were for the voice itself."""


class Talk:
    """The spoken side of one visit. Nothing doubtful reaches the engine before it was asked back."""

    def __init__(self, desk: Desk, manner: Manner | None = None) -> None:
        self._desk = desk
        self.manner = manner or Manner()
        self._numbers = NumberSpeaker(desk.kb.number_words)
        self._asked: Verdict | None = None
        """The doubtful phrase that was asked back and waits for a yes."""

    @property
    def asked_back(self) -> Verdict | None:
        """The doubtful phrase that waits for a yes, if there is one."""
        return self._asked

    @property
    def _kb(self) -> KnowledgeBase:
        return self._desk.kb  # narrower as it is told how the unit is built

    def hear(self, phrase: Phrase) -> Answered:
        """Take one phrase and return the answer to it."""
        control = self._control(phrase)
        if control is not None:
            return self._obeyed(control)
        waiting, self._asked = self._asked, None
        if waiting is not None and (answer := self._second_answer(waiting, phrase)) is not None:
            return answer
        verdict = judge(phrase, self._kb, self._desk.expecting())
        if phrase.lost and verdict.belief is not Belief.ACCEPT:
            return self._only("voice_lost")
        if phrase.dictated is not None:
            return self._dictated(phrase)
        return self._first_answer(verdict)

    def typed(self, note: str) -> Answered:
        """Take a typed note: where a spoken one was just asked back, a yes or no is for that, never for the engine."""
        waiting, self._asked = self._asked, None
        if waiting is not None:
            heard = understand(note, self._kb, self._bare())
            if is_clear_yes(heard):
                return self._confirmed(waiting)
            if is_no(heard):
                return self._refused(waiting)
        return Answered(self._desk.say(note), note)

    # -- answers ----------------------------------------------------------------------------------------------

    def _first_answer(self, verdict: Verdict) -> Answered:
        if verdict.belief is Belief.ACCEPT:
            return self._noted(verdict.text, verdict.confidence)
        if verdict.belief is Belief.NOISE:
            return self._only("voice_too_loud")
        if verdict.belief is Belief.REJECT:
            return self._only("voice_not_caught")
        if self._is_confirmation(verdict.text):
            return self._only("voice_clear_yes", verdict.text)
        return self._ask_back(verdict)

    def _ask_back(self, verdict: Verdict) -> Answered:
        self._asked = verdict
        if verdict.other:
            return self._only("voice_which", verdict.text, text=verdict.text, digits=self._digits(verdict.text),
                              other=verdict.other, other_digits=self._digits(verdict.other))  # fmt: skip
        wording = "voice_is_it_done" if self._is_step(verdict.text) else "voice_did_you_say"
        return self._only(wording, verdict.text, text=verdict.text, digits=self._digits(verdict.text))

    def _second_answer(self, waiting: Verdict, phrase: Phrase) -> Answered | None:
        """The answer to "did you say": a clear yes takes the note; a no asks for the other one, or drops it.

        None for anything else: it is a new phrase.
        """
        verdict = judge(phrase, self._kb, self._bare(), asked_back=True)
        if not verdict.text:
            self._asked = waiting if phrase.dictated is None else None  # a cough drops nothing
            return None
        heard = understand(verdict.text, self._kb, self._bare())
        if is_clear_yes(heard):
            if verdict.belief is Belief.ACCEPT:
                return self._confirmed(waiting)
            self._asked = waiting
            return self._only("voice_clear_yes")
        return self._refused(waiting) if is_no(heard) else None

    def _refused(self, waiting: Verdict) -> Answered:
        """Of fifteen and fifty the second is read back in its turn: each is taken after its own yes only."""
        if waiting.other:
            return self._ask_back(Verdict(Belief.ASK, waiting.other, confidence=waiting.confidence))
        return self._only("voice_dropped")

    def _confirmed(self, waiting: Verdict) -> Answered:
        """The clear yes to what was read back is all that is asked for, also for a safety step."""
        return Answered(self._desk.say(waiting.text, "spoken", 1.0, confirmed=True), waiting.text)

    def _noted(self, text: str, confidence: float) -> Answered:
        return Answered(self._desk.say(text, "spoken", confidence), text)

    def _dictated(self, phrase: Phrase) -> Answered:
        """A free note is kept with the opener in front, and marked as heard only."""
        text = phrase.dictated or phrase.hypotheses[0].text
        opener = self._kb.particles.free_note[0]
        openers = sorted(self._kb.particles.free_note, key=len, reverse=True)
        said = next((text[len(one) :].strip() for one in openers if text.startswith(f"{one} ")), text)
        answered = self._noted(f"{opener}: {said}", 0.0)
        return Answered(_with(answered.reply, sentence(self._kb, "voice_dictated")), answered.note)

    def _only(self, sentence_id: str, note: str = "", **places: str) -> Answered:
        """A sentence of the voice itself; the visit stands as it was."""
        said = sentence(self._kb, sentence_id, **places)
        before = self._desk.last_reply
        changes = {"heard": (), "limits": (), "not_understood": (note,) if note else (), "question": said.screen}
        return Answered(before.model_copy(update=changes | {"reply": said.screen, "spoken": said.spoken}), note)

    def _digits(self, text: str) -> str:
        """Return ", one five" for every number of a phrase that is read back; empty where it has none."""
        items = understand(text, self._kb, Context()).heard
        values = [item.value for item in items if item.value is not None]
        values += [option.value for item in items for option in item.options[:1] if option.value is not None]
        if not values:  # a bare number without a question means nothing to the language part
            return ""
        return "".join(f", {self._numbers.digits(value)}" for value in dict.fromkeys(values))

    def _is_confirmation(self, text: str) -> bool:
        """True for a yes: asked back it would only be asked for once more."""
        return [item.about for item in understand(text, self._kb, self._bare()).heard] == ["yes"]

    def _is_step(self, text: str) -> bool:
        return any(
            item.kind is Kind.SAFETY and not item.negated for item in understand(text, self._kb, self._bare()).heard
        )

    def _bare(self) -> Context:
        return Context(spoken=True)

    # -- words for the voice itself ---------------------------------------------------------------------------

    def _control(self, phrase: Phrase) -> str | None:
        heard = phrase.hypotheses[0].text if phrase.hypotheses else ""
        control = next((name for name, words in self._kb.spoken.controls.items() if heard in words), None)
        return _REPEAT if control is None and self._asks_again(heard, phrase) else control

    def _asks_again(self, heard: str, phrase: Phrase) -> bool:
        """True for "repeat": it changes nothing, so that it needs no good hearing, but a cough is none."""
        if phrase.talk > 0 or phrase.fit < self._kb.spoken.trust.fit_reject:
            return False
        understood = understand(heard, self._kb, self._bare())
        return [(one.kind, one.about) for one in understood.heard] == [(Kind.REQUEST, "say_again")] and (
            not understood.not_understood
        )

    def _obeyed(self, control: str) -> Answered:
        if control == _REPEAT:
            reply = self._ask_back(self._asked).reply if self._asked else self._desk.last_reply
            return Answered(reply, "", control)
        manner = self.manner
        if control in {"quiet", "aloud"}:
            manner.muted = control == "quiet"
        elif control in {"slower", "faster"}:
            step = -_STEP if control == "slower" else _STEP
            manner.words_per_minute = max(_SLOWEST, min(manner.words_per_minute + step, _FASTEST))
        answered = self._only("voice_set", what=control)
        reply = answered.reply.model_copy(update={"question": self._desk.last_reply.question})
        return Answered(reply, "", control)


def _with(reply: Reply, said: Said) -> Reply:
    update = {"reply": f"{said.screen}\n{reply.reply}", "spoken": f"{said.spoken} {reply.spoken}"}
    return reply.model_copy(update=update)
