"""``python -m knowledge``: lint the knowledge, show an entry with its references, list the sources."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from .base import DATA, read_knowledge
from .errors import KnowledgeError
from .lint import FAILING, lint, summary
from .show import UnknownEntryError, bibliography, describe


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return 0 when all is well, 1 on high or medium findings, 2 when it cannot be run."""
    parser = _parser()
    args = parser.parse_args(argv)
    try:
        return int(args.run(args))
    except KnowledgeError as err:
        print(err, file=sys.stderr)
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("python -m knowledge", description="Look into the knowledge, judge it.")
    commands = parser.add_subparsers(required=True)
    for name, run, told in (
        ("lint", _lint, "check the quality of all entries; exit 1 on high or medium findings"),
        ("show", _show, "print one entry with its file and what it refers to and is used by"),
        ("sources", _sources, "print the bibliography: how each work is known and what rests on it"),
    ):
        command = commands.add_parser(name, help=told, description=told)
        command.set_defaults(run=run)
        if name == "show":
            command.add_argument("id", help="id of an entry, or kind:id where several kinds share it")
        command.add_argument("folder", nargs="?", type=Path, default=DATA, help="another knowledge folder")
    return parser


def _lint(args: argparse.Namespace) -> int:
    kb = read_knowledge(args.folder)
    findings = lint(kb)
    for finding in findings:
        print(finding)
    print(summary(kb, findings))
    return int(any(finding.severity in FAILING for finding in findings))


def _show(args: argparse.Namespace) -> int:
    try:
        print(describe(read_knowledge(args.folder), args.id))
    except UnknownEntryError as err:
        print(err, file=sys.stderr)
        return 2
    return 0


def _sources(args: argparse.Namespace) -> int:
    print(bibliography(read_knowledge(args.folder)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
