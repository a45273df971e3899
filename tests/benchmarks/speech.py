"""How well spoken notes are heard: ``python -m tests.benchmarks.speech``.

Every note is spoken by every voice, with the noise of a unit at four levels, cut out of the stream, recognised and
judged as in a visit. An observation is exact where the words chosen mean what was said; how much work that leaves
for the technician is told apart: taken at once, read back and a yes takes it, or a no to one and a yes to a second
that is read back. "Wrong" counts what was taken without a question and means something else: that must be none.
"""

from __future__ import annotations

import argparse
import pickle
import resource
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from pydantic import BaseModel, ConfigDict

from assistant.language.models import Context
from assistant.language.understand import understand
from assistant.voice.judge import Belief, judge
from assistant.voice.lesson import lesson_of
from knowledge import KnowledgeBase, load
from knowledge.reader import read_model
from speech.levels import FRAME, RATE, Cut, Gate, PhraseCutter, Samples
from speech.messages import Phrase
from speech.recogniser import HearingAhead, Recognised, Recogniser
from tests.language.notes import asked_for
from tests.speech_sounds import at_the_unit, said, voices

NOTES = Path(__file__).with_name("speech_notes.yaml")
"""Held out: scored only."""
DEVELOPMENT = Path(__file__).with_name("speech_development.yaml")
"""Other sentences, to choose weights and thresholds with."""
BEFORE_S = 0.5
"""Of the place before every note."""
AUDIBLE = 0.02
"""Share of its loudest sample from which on clean sound is speech."""
TARGET_VOICES = frozenset({"slt", "rms", "awb"})


class Note(BaseModel):
    """One note as it is spoken."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    say: str
    asked: str | None = None
    last: str | None = None
    """The note before this one, typed."""


class Notes(BaseModel):
    """The notes, and ordinary talk that is none."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    notes: tuple[Note, ...]
    outside: tuple[str, ...]


@dataclass(frozen=True)
class Trial:
    """One thing said once."""

    note: Note
    is_note: bool
    voice: str
    snr_db: float | None
    phrases: tuple[Phrase, ...]
    sound_s: float
    work_s: float


def hearings(recogniser: Recogniser, sound: Samples, gate: Gate, last_s: float = 0.0) -> Iterator[Phrase]:
    """Yield the phrases of a sound as the child cuts and hears them while they are spoken.

    ``recognise_s`` is here the time from ``last_s``, the last sound of speech, to the words: sound and hearing run
    side by side, and what one thread cannot do at once (by processor time) waits.
    """
    cutter, ahead = PhraseCutter(gate), HearingAhead(recogniser)
    free_s = 0.0
    for start in range(0, sound.size - FRAME + 1, FRAME):
        began = time.process_time()
        cut = cutter.take(sound[start : start + FRAME])
        found = ahead.words(cut) if cut is not None else ahead.follow(cutter)
        free_s = max((start + FRAME) / RATE, free_s) + time.process_time() - began
        if cut is not None and found is not None:
            yield _phrase(cut, found, free_s - last_s)
    if (cut := cutter.finish()) is not None:
        began = time.process_time()
        found = ahead.words(cut)
        yield _phrase(cut, found, max(sound.size / RATE, free_s) + time.process_time() - began - last_s)


def last_sound_s(speech: Samples) -> float:
    """Return the second in which clean speech is last audible."""
    loud = np.abs(speech.astype(np.int32))
    return float(np.flatnonzero(loud > AUDIBLE * loud.max())[-1]) / RATE


def trials(
    recogniser: Recogniser, every: int, speakers: list[str], levels: Sequence[float | None], book: Notes
) -> Iterator[Trial]:
    """Say every n-th note with every voice at every level."""
    said_notes = [(note, True) for note in book.notes[::every]]
    said_notes += [(Note(say=one), False) for one in book.outside[::every]]
    for snr_db in levels:
        for voice in speakers:
            for seed, (note, is_note) in enumerate(said_notes):
                speech = said(note.say, voice)
                sound = at_the_unit(speech, snr_db, seed, BEFORE_S)
                began = time.process_time()
                phrases = tuple(hearings(recogniser, sound, Gate(), BEFORE_S + last_sound_s(speech)))
                print(".", end="", file=sys.stderr, flush=True)
                yield Trial(note, is_note, voice, snr_db, phrases, sound.size / RATE, time.process_time() - began)


def _phrase(cut: Cut, found: Recognised, reply_s: float) -> Phrase:
    return Phrase(
        found.hypotheses,
        found.fit,
        found.sure,
        speech_s=cut.speech_s,
        snr_db=cut.snr_db,
        noise_db=cut.noise_db,
        talk=found.talk,
        compared=found.compared,
        dictated=found.dictated,
        recognise_s=reply_s,
    )


def meaning(text: str, kb: KnowledgeBase, context: Context) -> object:
    """Return what a note says, without spans and doubts."""
    return tuple(
        (item.kind, item.about, item.quantity, item.value, item.state, item.negated, item.over_limit, item.subject)
        for item in understand(text, kb, context).heard
    )


def context_of(note: Note, kb: KnowledgeBase) -> Context:
    """Return the conversation in which a note is said."""
    asked = asked_for(note.asked) if note.asked else None
    last = understand(note.last, kb, Context(asked=asked)).heard if note.last else ()
    return Context(asked=asked, last=last)


def outcome(trial: Trial, kb: KnowledgeBase) -> tuple[str, str]:
    """Return what was done (accept, ask, reject), and how what was said comes out of it.

    That is "once", "yes" (a yes takes it), "second" (a no, and then a yes), or nothing where it does not.
    """
    typed = context_of(trial.note, kb)
    context = replace(typed, spoken=True)
    if not trial.phrases:
        return "reject", ""
    verdicts = [judge(phrase, kb, context) for phrase in trial.phrases]
    believed = [verdict for verdict in verdicts if verdict.belief in {Belief.ACCEPT, Belief.ASK}]
    if not believed:
        return "reject", ""
    meant = meaning(trial.note.say, kb, typed)
    first = believed[0]
    taken = [
        verdict for verdict in believed if verdict.belief is Belief.ACCEPT and _is_taken(verdict.text, kb, context)
    ]
    done = "accept" if taken else "ask"
    if len(believed) > 1 or not trial.is_note:
        return done, ""
    # what is taken at once is taken as the engine hears it: seventy degrees of split are seventeen
    if meant == meaning(first.text, kb, context if taken else typed):
        return done, "once" if taken else "yes"
    second = bool(first.other) and meant == meaning(first.other, kb, typed)
    return done, "second" if second else ""


def _is_taken(text: str, kb: KnowledgeBase, context: Context) -> bool:
    """True where the engine asks nothing back about any of it (fifteen or fifty)."""
    return all(item.usable for item in understand(text, kb, context).heard)


HEADS = (
    "level",
    "voices",
    "notes",
    "exact",
    "once",
    "by yes",
    "second",
    "misheard",
    "reject",
    "WRONG",
    "talk out",
    "talk in",
    "RTF",
    "reply s",
)


def table(found: list[Trial], kb: KnowledgeBase, *, verbose: bool) -> str:
    """Return the figures per noise level and kind of voice.

    "exact" is the sum of "once", "by yes" and "second"; "misheard": other words were asked back, a no drops them.
    "talk_out": ordinary talk that was rejected; "talk_in": taken as a note; "reply_s": from the last sound to the
    words, half of them and 19 of 20 are quicker.
    """
    lines = [" ".join(f"{head:>8}" for head in HEADS)]
    for snr_db in dict.fromkeys(trial.snr_db for trial in found):
        here = [one for one in found if one.snr_db == snr_db]
        for name, among in (("target", True), ("others", False)):
            some = [one for one in here if (one.voice in TARGET_VOICES) is among]
            if some:
                lines.append(_row(name, some, kb, verbose=verbose))
    return "\n".join(lines)


def _row(name: str, some: list[Trial], kb: KnowledgeBase, *, verbose: bool) -> str:
    notes = [(one, *outcome(one, kb)) for one in some if one.is_note]
    talk = [outcome(one, kb)[0] for one in some if not one.is_note]
    wrong = [one for one, done, exact in notes if done == "accept" and not exact]
    if verbose:
        _print_doubtful(notes)
    replies = [phrase.recognise_s for one in some for phrase in one.phrases] or [0.0]
    shares = (
        statistics.fmean(bool(exact) for *_, exact in notes),
        *(statistics.fmean(exact == way for *_, exact in notes) for way in ("once", "yes", "second")),
        statistics.fmean(done == "ask" and not exact for _, done, exact in notes),
        statistics.fmean(done == "reject" for _, done, _ in notes),
        statistics.fmean(done == "reject" for done in talk) if talk else 0.0,
    )
    *heard, talk_out = (f"{share:.1%}" for share in shares)
    level = "clean" if some[0].snr_db is None else f"{some[0].snr_db:.0f} dB"
    late = statistics.quantiles(replies, n=20)[-1] if len(replies) > 1 else replies[0]
    rtf = sum(one.work_s for one in some) / sum(one.sound_s for one in some)
    counts = (
        *heard,
        len(wrong),
        talk_out,
        talk.count("accept"),
        f"{rtf:.2f}",
        f"{statistics.median(replies):.2f}/{late:.2f}",
    )
    return " ".join(f"{cell!s:>8}" for cell in (level, name, len(notes), *counts))


def _print_doubtful(notes: list[tuple[Trial, str, str]]) -> None:
    for one, done, exact in notes:
        if not exact or done != "accept":
            best = [phrase.hypotheses[0].text for phrase in one.phrases if phrase.hypotheses]
            signs = [(phrase.fit, phrase.sure, phrase.talk, round(phrase.snr_db)) for phrase in one.phrases]
            print(f"  {one.snr_db} {one.voice} {done} {exact or 'wrong'} {one.note.say!r} {best} {signs}")


def main() -> int:
    """Print the table; ``--keep`` keeps the hearings, so that other thresholds can be tried without hearing anew."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.speech", description=__doc__)
    parser.add_argument("--every", type=int, default=1, help="say every n-th note only")
    parser.add_argument("--voices", default=",".join(voices()), help="voices, parted by commas")
    parser.add_argument("--levels", default="clean,20,15,10", help="dB of speech over noise, parted by commas")
    parser.add_argument(
        "--development", action="store_true", help="the notes for choosing weights, not the scored ones"
    )
    parser.add_argument("--model", type=Path, help="folder of a Vosk model: measure that engine too")
    parser.add_argument("--keep", type=Path, help="file for the hearings; read where it is there")
    parser.add_argument("--verbose", action="store_true", help="print every note that was not taken at once")
    options = parser.parse_args()
    kb = load()
    if options.keep and options.keep.exists():
        print(table(pickle.loads(options.keep.read_bytes()), kb, verbose=options.verbose))  # noqa: S301 - our own file
        return 0
    for recogniser in _engines(options.model, kb):
        levels = [None if level == "clean" else float(level) for level in options.levels.split(",")]
        book = read_model(DEVELOPMENT if options.development else NOTES, Notes)
        found = list(trials(recogniser, options.every, options.voices.split(","), levels, book))
        if options.keep:
            options.keep.write_bytes(pickle.dumps(found))
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"\n{recogniser.name}, peak memory {peak_mb:.0f} MB (with this program)")
        print(table(found, kb, verbose=options.verbose))
    return 0


def _engines(model: Path | None, kb: KnowledgeBase) -> Iterator[Recogniser]:
    from speech.sphinx import SphinxRecogniser
    from speech.vosk_engine import VoskRecogniser

    engines: list[Recogniser] = [SphinxRecogniser(Path(tempfile.gettempdir()) / "padside-speech")]
    if model is not None:
        engines.append(VoskRecogniser(model))
    for engine in engines:
        missing = engine.teach(lesson_of(kb))
        print(f"{engine.name}: {len(missing)} words it cannot hear {missing[:10]}", file=sys.stderr)
        yield engine


if __name__ == "__main__":
    sys.exit(main())
