"""What people talk to: a terminal of their own, or plain lines where there is none."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

from kickover.ui.json_front import JsonFront
from kickover.ui.plain_lines import PlainFront
from kickover.ui.terminal import TerminalFront

Front = PlainFront | TerminalFront | JsonFront


def front_for(plain: bool, one_key: bool = True, *, beside: bool = False) -> Front:
    """The front for this terminal: full-screen, or plain lines when asked for or when it is no terminal.

    With `one_key` a digit answers without Enter on a full screen. `beside` keeps standard output free for
    data: the talk goes to standard error, in plain lines.
    """
    if beside:
        return PlainFront(sys.stdin, sys.stderr)
    if plain or not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        for stream in (sys.stdin, sys.stdout):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="replace")  # bytes that are no text must not end a walk
        return PlainFront(sys.stdin, sys.stdout)
    return TerminalFront(colour="NO_COLOR" not in os.environ, one_key=one_key)
