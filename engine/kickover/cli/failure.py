"""How a command that failed says so: in words, or under `--json` as JSON, both on standard error."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum

import click

from kickover.core.problem import KickoverError, LibraryError

OUR_FAULT = 3
INTERRUPTED = 130
TERMINATED = 143

EXIT_CODES = {
    0: "done; a walk ended with a proven cure, or was left to go on later",
    1: "something is wrong with the data or a file, or there is no answer; a walk ended without a cure",
    2: "the command line is not understood",
    OUR_FAULT: "a fault of the program itself, kept in a log that is named",
    INTERRUPTED: "interrupted",
    TERMINATED: "asked to stop",
}


class Kind(StrEnum):
    """What kind of trouble it is."""

    USAGE = "usage"
    LIBRARY = "library"
    DATA = "data"
    FILE = "file"
    INTERRUPTED = "interrupted"
    OUR_FAULT = "own-fault"


@dataclass(frozen=True, slots=True)
class Failure:
    """Why a command failed: what is wrong, where, what would mend it, and the exit code.

    `where` and `mend` are empty where they are known only as a part of `message`.
    """

    kind: Kind
    message: str
    exit: int
    where: str = ""
    mend: str = ""


def of_usage(error: click.ClickException) -> Failure:
    """A command line that is not understood."""
    context = error.ctx if isinstance(error, click.UsageError) else None
    where = context.command_path if context else ""
    mend = f"`{where} --help` shows what it takes" if where else ""
    return Failure(Kind.USAGE, error.format_message(), error.exit_code, where, mend)


def of_data(error: KickoverError) -> Failure:
    """Something in the data that a person can mend."""
    kind = Kind.LIBRARY if isinstance(error, LibraryError) else Kind.DATA
    return Failure(kind, str(error), 1, error.where, error.mend)


def of_file(error: OSError) -> Failure:
    """A file or a disk that refuses."""
    where = str(error.filename) if error.filename else ""
    said, mend = (error.strerror or str(error)).lower(), "choose another place or make room"
    return Failure(Kind.FILE, f"{f'{where}: ' if where else ''}{said}; {mend}", 1, where, mend)


INTERRUPTION = Failure(Kind.INTERRUPTED, "interrupted", INTERRUPTED)


def of_ours(where_told: str) -> Failure:
    """A fault of the program itself."""
    return Failure(Kind.OUR_FAULT, where_told, OUR_FAULT)


def wants_json(arguments: Sequence[str]) -> bool:
    """Whether a command line asks for JSON."""
    options = arguments[: arguments.index("--")] if "--" in arguments else arguments
    return "--json" in options


def tell(failure: Failure, as_json: bool) -> int:
    """Print a failure on standard error, and give its exit code."""
    if as_json:
        click.echo(json.dumps({"error": asdict(failure)}, ensure_ascii=False), err=True)
    else:
        click.echo(failure.message, err=True)
    return failure.exit
