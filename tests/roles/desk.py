"""A desk at which a person types commands, one after the other, and reads what they print."""

from __future__ import annotations

import contextlib
import io
import json
import shlex
from pathlib import Path
from typing import Any
from unittest import mock

from kickover.cli.main import run


class Desk:
    """Commands are typed as in a terminal, in a folder of one's own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def types(self, line: str, *answers: str, leaves_with: int = 0) -> str:
        """Type `kickover LINE`, then the answers, a line each; give all that is printed."""
        printed, told = io.StringIO(), io.StringIO()
        typed = io.StringIO("".join(f"{answer}\n" for answer in answers))
        with (
            contextlib.chdir(self.folder),
            contextlib.redirect_stdout(printed),
            contextlib.redirect_stderr(told),
            mock.patch("sys.stdin", typed),
        ):
            code = run(shlex.split(line))
        assert code == leaves_with, f"kickover {line}: {told.getvalue() or printed.getvalue()}"
        return printed.getvalue() + told.getvalue()

    def reads(self, line: str) -> Any:
        """Type `kickover LINE --json` and read what it prints."""
        return json.loads(self.types(f"{line} --json"))

    def has(self, name: str, beginning: bytes = b"%PDF") -> bool:
        """Tell whether a file of that kind lies in the folder."""
        return (self.folder / name).read_bytes().startswith(beginning)
