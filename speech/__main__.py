"""``python -m speech``: the child process. Its standard output carries events and nothing else."""

from __future__ import annotations

import os
import sys

from .child import Child


def main() -> None:
    """Talk over the real standard streams; what libraries print goes to standard error, the parent's log."""
    events = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    Child(sys.stdin.buffer, events).run()
    events.flush()
    os._exit(0)  # threads of sound libraries must not keep the process alive


if __name__ == "__main__":
    main()
