"""The program's first lines: `python -m kickover`, and the command.

An interruption while the rest is still being imported ends the program without a word; the rest comes after
that.
"""

import signal
from importlib import import_module

signal.signal(signal.SIGINT, signal.SIG_DFL)


def entry() -> None:
    """Run the program and leave with its exit code."""
    import_module("kickover.cli.main").entry()


if __name__ == "__main__":
    entry()
