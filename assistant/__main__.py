"""The command line: ``padside`` and ``python -m assistant``."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import textwrap
import time
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from assistant import __version__, console, demo
from assistant.console import FINE, INTERRUPTED, WRONG
from assistant.desk import NOTE_FORMATS, Desk, local_now
from assistant.dialogue.wording import error_sentence
from assistant.export.note import build_note
from assistant.export.writing import write_note
from assistant.open_visit import Visits
from assistant.paths import HOME_VARIABLE, Places, SaveError, atomic_write, places
from assistant.session.fold import Visit
from assistant.session.log import LogError
from assistant.session.phases import phase_table
from assistant.session.power import power_table
from assistant.settings import Settings, load_settings
from knowledge import KnowledgeError, load
from knowledge.show import bibliography, numbers

if TYPE_CHECKING:
    from assistant.tui.ears import Ears


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code. Whatever goes wrong is said in a sentence, never as a traceback."""
    console.make_ready()
    try:
        code = _run(list(sys.argv[1:] if argv is None else argv))
        sys.stdout.flush()
    except BrokenPipeError:
        console.hush(sys.stdout)
        return FINE
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:  # noqa: BLE001 - the last net: a sentence, never a traceback
        print(f"padside: {_sentence(error)}", file=sys.stderr)
        return WRONG
    return code


def _run(words: list[str]) -> int:
    if words[:1] == ["knowledge"]:  # has its own options
        from knowledge.__main__ import main as knowledge_main

        return knowledge_main(words[1:])
    options = _parser().parse_args(words)
    if options.home:
        os.environ[HOME_VARIABLE] = str(options.home)
    run: Callable[[argparse.Namespace, Places], int] = options.run
    return run(options, places())


def _sentence(error: Exception) -> str:
    if isinstance(error, (KnowledgeError, SaveError, LogError, FileNotFoundError)):
        return str(error)
    if isinstance(error, OSError):
        console.hush(sys.stdout)  # what waits there could not be written, nor will it be at exit
        return error_sentence(error)
    return f"{error_sentence(error)}{_details(error)}"


def _details(error: Exception) -> str:
    """Keep the traceback of an error that nobody foresaw for whoever mends it, and say where."""
    try:
        path = places().cache / "last-error.txt"
        atomic_write(path, "".join(traceback.format_exception(error)))
    except SaveError:
        return ""
    return f" What programmers need to know is in {path}."


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="padside",
        description="Offline field assistant for a not-cooling service call. Without a command it opens a visit.",
        epilog="Not a licence and not a substitute for local codes: qualified persons only.",
    )
    parser.add_argument("--version", action="version", version=f"padside {__version__}")
    parser.add_argument("--home", type=Path, metavar="FOLDER", help="keep visits, notes and settings under FOLDER")
    parser.add_argument("--plain", action="store_true", help="line by line, no screen drawing")
    parser.add_argument("--json", action="store_true", help="with --plain: one JSON object per note, for scripts")
    parser.add_argument("--visit", metavar="ID", help="go on with this visit")
    parser.add_argument("--new", action="store_true", help="begin a new visit even where one was broken off")
    parser.add_argument(
        "--audio", metavar="FILE", help="hear notes from a WAV file; - for raw 16 kHz mono sound on standard input"
    )
    parser.add_argument("--theme", choices=("sunlight", "night"), help="colours of the screen")
    parser.set_defaults(run=_open)
    commands = parser.add_subparsers(title="commands", metavar="")
    _command(commands, "visits", _visits, "list the visits, newest first")
    note = _command(commands, "note", _note, "write the job note of a visit and print it")
    note.add_argument("visit", metavar="VISIT")
    note.add_argument("--format", choices=("md", "txt", "json"), default="md", help="what to print (all are written)")
    replay = _command(commands, "replay", _replay, "play a demo session through the program")
    replay.add_argument("session", metavar="NAME_OR_FILE", nargs="?", help="without one, the shipped ones are listed")
    replay.add_argument("--pace", type=float, default=1.5, metavar="SECONDS", help="pause between notes (0 = none)")
    practice = _command(commands, "practice", _practice, "work an invented faulty unit that the program plays")
    practice.add_argument(
        "--fault", metavar="ID", action="append", default=[],
        help="which fault it hides (padside knowledge list), twice for two; drawn without",
    )  # fmt: skip
    practice.add_argument("--double", action="store_true", help="draw two faults")
    practice.add_argument(
        "--built", metavar="WORD", action="append", default=[], help="kind or choice: three_phase, heat_pump ..."
    )
    practice.add_argument("--seed", type=int, metavar="N", help="the same unit again")
    _command(
        commands,
        "selfcheck",
        _selfcheck,
        "check terminal, folders and knowledge, with the remedy for each problem",
    )
    _command(commands, "tables", _tables, "print the phase table and the power-state table")
    parse = _command(commands, "parse", _parse, "show what is understood of a note, without a visit")
    parse.add_argument("note", nargs="+")
    sources = _command(commands, "sources", _sources, "print what each number rests on, and the bibliography")
    sources.add_argument("word", metavar="WORD", nargs="?", default="", help="only entries in which this word occurs")
    commands.add_parser("knowledge", help="lint, show or list the knowledge files (padside knowledge --help)")
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace, Places], int],
    text: str,
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
    command.set_defaults(run=run)
    return command


def _visits_of(where: Places) -> Visits:
    chosen = load_settings(where)
    return Visits(
        load(), chosen.visits or where.visits, where.notes, cache=where.cache, units=chosen.units, stock=chosen.stock
    )


def _open(options: argparse.Namespace, where: Places) -> int:
    visits = _visits_of(where)
    interactive = sys.stdin.isatty()
    desk = _desk(visits, options.visit, may_go_on=interactive and not options.new)
    try:
        return _front_end(options, desk, where, interactive)
    finally:
        desk.close()
        if desk.save_problem:
            print(f"padside: {desk.save_problem}", file=sys.stderr)


def _practice(options: argparse.Namespace, where: Places) -> int:
    from assistant.practice.exercise import UnknownFaultError, Wish
    from assistant.practice.open_exercise import open_exercise

    chosen = load_settings(where)
    wish = Wish(tuple(options.fault), double=options.double, built=tuple(options.built))
    try:
        desk = open_exercise(
            load(), where.visits.parent / "practice", wish, seed=options.seed, cache=where.cache, units=chosen.units
        )
    except UnknownFaultError as error:
        print(f"padside: {error}", file=sys.stderr)
        return WRONG
    try:
        return _front_end(options, desk, where, sys.stdin.isatty())
    finally:
        desk.close()


def _desk(visits: Visits, chosen: str | None, *, may_go_on: bool) -> Desk:
    if chosen is not None:
        return visits.resumed(chosen)
    found = visits.broken_off() if may_go_on else None
    if found is None:
        return visits.new()
    try:
        return visits.resumed(found)
    except LogError as error:
        raise LogError(f"{error} A new visit begins with: padside --new", error.path) from error


def _front_end(options: argparse.Namespace, desk: Desk, where: Places, interactive: bool) -> int:
    no_screen = console.why_no_screen(sys.stdout)
    by_line = options.json or options.plain or options.audio == "-" or not interactive or no_screen
    if options.audio is not None and by_line:
        return _hear(options, where, desk)
    if options.json:
        from assistant.plain import run_json

        return run_json(desk, sys.stdin.buffer, sys.stdout.buffer)
    if options.plain or not interactive or no_screen:
        from assistant.plain import run_plain

        if no_screen and interactive and not options.plain:
            print(f"padside: {no_screen}", file=sys.stderr)
        return run_plain(desk, sys.stdin.buffer, sys.stdout, shutil.get_terminal_size().columns)
    from assistant.tui.app import PadsideApp  # late: Textual takes a while to import

    settings = load_settings(where, tell=_silent)
    ears = _ears(options, where, desk, settings) if settings.voice or options.audio else None
    app = PadsideApp(desk, theme=options.theme or settings.theme, ears=ears)
    try:
        app.run()
    finally:
        if ears is not None:
            ears.close()
    if app.failure:
        raise app.failure
    return app.return_code or FINE


def _silent(_problem: str) -> None:
    """Problems of the settings were told when the visits were looked up."""


def _ears(options: argparse.Namespace, where: Places, desk: Desk, settings: Settings) -> Ears:
    """Return the screen's ears; nothing is listened to before the talk key."""
    from assistant.tui.ears import Ears
    from assistant.voice.listening import Source, Voice, choices_of

    source = Source("file", Path(options.audio)) if options.audio else Source(name=settings.microphone)
    return Ears(lambda watch: Voice(desk, where.cache, choices_of(settings), watch), source)


def _hear(options: argparse.Namespace, where: Places, desk: Desk) -> int:
    """Answer the spoken notes of a file or pipe, line by line or as JSON lines."""
    from assistant.plain import hear_json, hear_plain  # late, as is all of the voice: typing starts fast
    from assistant.voice.listening import Source, Voice, choices_of

    sent = options.audio == "-"
    source = Source("sent") if sent else Source("file", Path(options.audio))
    stream = sys.stdin.buffer if sent else None
    voice = Voice(desk, where.cache, choices_of(load_settings(where, tell=_silent)))
    try:
        if options.json:
            return hear_json(desk, voice, source, stream, sys.stdout.buffer)
        return hear_plain(desk, voice, source, stream, sys.stdout, shutil.get_terminal_size().columns)
    finally:
        voice.close()


def _visits(_options: argparse.Namespace, where: Places) -> int:
    visits = _visits_of(where)
    found = visits.store.visits()
    if not found:
        print(f"No visits in {visits.store.folder} yet.")
    for visit in found:
        when = visit.last.astimezone().strftime("%Y-%m-%d %H:%M") if visit.last else "-"
        state = visit.outcome or visit.phase or ("unreadable" if visit.problem else "-")
        said = visit.said or visit.place or visit.model or ""
        print(f"{visit.id:16} {when:17} {visit.notes:4} notes  {state:12} {said}".rstrip())
        if visit.problem:
            print(textwrap.indent(textwrap.fill(visit.problem, 90), " " * 17))
    return 0


def _note(options: argparse.Namespace, where: Places) -> int:
    visits = _visits_of(where)
    content = visits.store.read(options.visit)
    for problem in content.problems:
        print(f"padside: {problem}", file=sys.stderr)
    visit = Visit(visits.kb, content.events)
    note = build_note(visit.state, visit.events, visits.kb, made_at=local_now(), units=visits.units)
    paths = write_note(note, where.notes, NOTE_FORMATS)
    print(next(path for path in paths if path.suffix == f".{options.format}").read_text(encoding="utf-8"))
    for path in paths:
        print(f"written: {path}", file=sys.stderr)
    return 0


def _replay(options: argparse.Namespace, where: Places) -> int:
    if options.session is None:
        for path in sorted(demo.demo_folder().glob("*/visit.yaml")):
            print(f"{path.parent.name:24} {demo.read_demo(path).title}")
        return 0
    story = demo.read_demo(demo.find_demo(options.session))
    print(f"{story.title}\n({story.invented})\n")
    with tempfile.TemporaryDirectory() as home:
        for step in demo.replay(story, load(), Path(home), where.cache):
            if isinstance(step, demo.Exchange):
                print(f"[{step.minutes:.0f} min] > {step.note}\n" if step.note else "", end="")
                print(textwrap.indent(step.reply.reply, "    ") + "\n", flush=True)
                time.sleep(options.pace)
            else:
                print(next(path for path in step if path.suffix == ".txt").read_text(encoding="utf-8"))
    return 0


def _selfcheck(_options: argparse.Namespace, where: Places) -> int:
    from assistant.selfcheck import run_selfcheck

    return run_selfcheck(where)


def _tables(_options: argparse.Namespace, _where: Places) -> int:
    print(f"Phases\n\n{phase_table()}\nPower states\n\n{power_table()}", end="")
    return 0


def _sources(options: argparse.Namespace, _where: Places) -> int:
    kb = load()
    found = [text for text in (numbers(kb, options.word), bibliography(kb, options.word)) if text]
    if not found:
        print(f"padside: nothing rests on a source with {options.word!r}; leave the word out for all.", file=sys.stderr)
        return WRONG
    print("\n\n".join(found))
    return 0


def _parse(options: argparse.Namespace, _where: Places) -> int:
    from assistant.language.explain import explain_parse

    print(explain_parse(" ".join(options.note), load()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
