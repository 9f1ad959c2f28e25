"""Results on disk: one file a learner, one line of JSON a drill, only ever added to.

A line is on the disk before the program goes on. A line that was being written when the power went, or that
somebody spoilt, is passed over and reported; nothing else is lost.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from datetime import date
from math import isfinite
from pathlib import Path
from urllib.parse import quote

from kickover.core.atomic_file import write_file
from kickover.core.problem import KickoverError
from kickover.training.progress import DrillResult

SUFFIX = ".jsonl"
MOST_NAME = 60
NUMBERS = ("level", "seed", "minutes", "expected", "given_away", "hints", "moves")
WORDS = ("learner", "exercise", "complaint", "machine", "version")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""Beginnings of a text that spreadsheets take for a formula."""


class RecordError(KickoverError):
    """Results that cannot be kept or read."""


def keep(folder: Path, result: DrillResult) -> None:
    """Add a result to the learner's file. Raises RecordError when that cannot be done."""
    path = folder / _file_of(result.learner)
    line = json.dumps(asdict(result), ensure_ascii=False, sort_keys=True).encode()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with path.open("ab+") as file:
            file.seek(0, os.SEEK_END)
            torn = file.tell() > 0 and (file.seek(-1, os.SEEK_END), file.read(1))[1] != b"\n"
            file.write((b"\n" if torn else b"") + line + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise RecordError(
            f"{path}: the result cannot be kept here ({error.strerror}); "
            "set KICKOVER_HOME to a folder that you may write"
        ) from None


def read(folder: Path, learner: str = "") -> tuple[tuple[DrillResult, ...], tuple[str, ...]]:
    """All results, or those of one learner, oldest first; and what could not be read, in words."""
    results: list[DrillResult] = []
    wrong: list[str] = []
    paths = [folder / _file_of(learner)] if learner else sorted(folder.glob(f"*{SUFFIX}"))
    for path in paths:
        try:
            lines = path.read_bytes().split(b"\n")
        except FileNotFoundError:
            continue
        except OSError as error:
            raise RecordError(f"{path}: the results cannot be read ({error.strerror})") from None
        for number, line in enumerate(lines, start=1):
            if not line.strip():
                continue
            result = _parsed(line)
            if result is None:
                wrong.append(f"{path}:{number}: this result cannot be read; it is left out")
            else:
                results.append(result)
    return tuple(sorted(results, key=lambda result: result.on)), tuple(wrong)


@dataclass(frozen=True, slots=True)
class OpenDrill:
    """A drill that a learner left before its end: its exercise, its engine, and all lines typed so far."""

    exercise: str
    seed: int
    typed: tuple[str, ...]


def keep_open(folder: Path, learner: str, drill: OpenDrill | None) -> None:
    """Keep a learner's unfinished drill; None when there is none any more. Raises RecordError."""
    path = folder / "open" / _file_of(learner)
    try:
        if drill is None:
            path.unlink(missing_ok=True)
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, json.dumps(asdict(drill), ensure_ascii=False).encode())
    except OSError as error:
        raise RecordError(f"{path}: the drill cannot be kept here ({error.strerror})") from None


def read_open(folder: Path, learner: str) -> OpenDrill | None:
    """The drill that a learner left before its end; None without one, or when its file is spoilt."""
    try:
        data = json.loads((folder / "open" / _file_of(learner)).read_bytes())
        return OpenDrill(str(data["exercise"]), int(data["seed"]), tuple(map(str, data["typed"])))
    except (OSError, ValueError, TypeError, KeyError, OverflowError, RecursionError):
        return None


def as_csv(results: Iterable[DrillResult]) -> str:
    """Results as CSV (RFC 4180), a header first, lists joined by spaces.

    A text that a spreadsheet would run as a formula gets an apostrophe before it.
    """
    sink = io.StringIO()
    writer = csv.writer(sink)
    writer.writerow(field.name for field in fields(DrillResult))
    writer.writerows(map(_cell, asdict(result).values()) for result in results)
    return sink.getvalue()


def _cell(value: object) -> object:
    text = " ".join(value) if isinstance(value, tuple) else value
    if isinstance(text, str) and text.startswith(_FORMULA):
        return f"'{text}"
    return text


def _file_of(learner: str) -> str:
    name = " ".join(learner.split())
    if not name or len(name) > MOST_NAME or not name.isprintable():
        raise RecordError(f"{learner!r} is no learner's name; write 1 to {MOST_NAME} letters")
    return f"{quote(name.casefold(), safe='')}{SUFFIX}"


def _parsed(line: bytes) -> DrillResult | None:
    try:
        data = json.loads(line)
        for name in ("faults", "named", "dangers"):
            data[name] = tuple(map(str, data[name]))
        made = DrillResult(**data)
        date.fromisoformat(made.on)
        sound = all(isfinite(getattr(made, name)) for name in NUMBERS)
    except (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        return None
    sound = sound and all(isinstance(getattr(made, name), str) for name in WORDS)
    return made if sound and isinstance(made.cured, bool) and isinstance(made.mastered, bool) else None
