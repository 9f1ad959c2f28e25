"""A problem in authored data, as a value.

Problems are collected and reported together; loading never stops at the first one. This module knows
nothing of YAML or of the model: it only says what a problem is and how one line of it reads.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kickover.core.screening import cut_short


@dataclass(frozen=True, slots=True, order=True)
class SourcePlace:
    """Where something was written: a file name as the author knows it, and a line counted from 1."""

    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong in authored data.

    `path` is the trail of keys to it (`causes/plug-fouled-wet/rate`), `message` says what is wrong,
    `mend` what would make it right.
    """

    place: SourcePlace
    path: str
    message: str
    hint: str

    def __str__(self) -> str:
        return f"{self.place}: {cut_short(self.message, 600)}; {cut_short(self.hint, 600)}"


class KickoverError(Exception):
    """Anything that a person can mend; its text is one line, fit to be shown as it is.

    `where` names the file, line or option, and `mend` says what to do, where the error knows them apart.
    """

    where = ""
    mend = ""


class LibraryError(KickoverError):
    """A library that cannot be used because of the problems it carries."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        if self.problems:
            self.where, self.mend = str(self.problems[0].place), self.problems[0].hint
        super().__init__("\n".join(str(problem) for problem in self.problems))
