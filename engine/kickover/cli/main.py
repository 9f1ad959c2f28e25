"""The program: a table of commands, and the one place where errors are turned into words."""

from __future__ import annotations

import gc
import io
import os
import signal
import sys
import traceback
from collections.abc import Mapping
from pathlib import Path

import click
from click.shell_completion import add_completion_class

from kickover.cli import failure
from kickover.cli.bash_completion import WholeWords
from kickover.cli.context import faults_file, settings_file
from kickover.cli.lazy_commands import LazyCommands
from kickover.cli.output_gate import gated
from kickover.cli.person_settings import as_defaults, read_settings
from kickover.core.atomic_file import OutputError, write_file
from kickover.core.problem import KickoverError
from kickover.units import written_first

COMMANDS: Mapping[str, str] = {
    "walk": "kickover.cli.walk:walk",
    "walks": "kickover.cli.walks:walks",
    "report": "kickover.cli.report:report",
    "machine": "kickover.cli.machine:machine",
    "rank": "kickover.cli.rank:rank",
    "check": "kickover.cli.check:check",
    "doctor": "kickover.cli.doctor:doctor",
    "new": "kickover.cli.new:new",
    "list": "kickover.cli.list:list_",
    "show": "kickover.cli.show:show",
    "draw": "kickover.cli.draw:draw",
    "figure": "kickover.cli.figure:figure",
    "drill": "kickover.cli.drill:drill",
    "pack": "kickover.cli.pack:pack",
    "service": "kickover.cli.service:service",
    "cases": "kickover.cli.cases:cases",
    "settings": "kickover.cli.settings:settings",
    "help": "kickover.cli.help:help_",
    "schema": "kickover.cli.schema:schema",
    "evaluate": "kickover.cli.evaluate:evaluate",
}
"""Each command with the module and function that hold it."""

MOST_LOG = 100_000
"""So many characters of earlier faults are kept in the log."""

LASTING = 100_000
"""New objects between two searches for rubbish: a library is many small objects, all of which stay."""


add_completion_class(WholeWords)


class Program(LazyCommands):
    """All commands, and what the exit codes mean."""

    def format_epilog(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the exit codes below the commands."""
        with formatter.section("Exit codes"):
            formatter.write_dl([(str(code), meaning) for code, meaning in failure.EXIT_CODES.items()])


@click.group(
    cls=Program,
    more=COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "show_default": True},
)
@click.version_option(package_name="kickover", prog_name="kickover")
def main() -> None:
    """Find out why a small engine will not start, and get it running."""


def entry() -> None:
    """Run the program and leave with its exit code; the traceback of a fault of its own goes to a log."""
    gc.set_threshold(LASTING)
    _make_ready()
    code = run(sys.argv[1:])
    sys.exit(code if _flushed() else code or 1)


def _make_ready() -> None:
    """Take streams and signals as they come: closed ones, narrow encodings, a polite request to stop."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(failure.TERMINATED))
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115 - for good
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _flushed() -> bool:
    """Send what is left to print; False where nobody takes it, which then is not tried again."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
            return False
    return True


def run(arguments: list[str]) -> int:
    """Run one command line and give its exit code; errors go to standard error in words."""
    with gated():
        return _answered(arguments, failure.wants_json(arguments))


def _answered(arguments: list[str], as_json: bool) -> int:
    try:
        settings = read_settings(settings_file())
        with written_first(settings.units):
            result = main.main(
                args=arguments, prog_name="kickover", standalone_mode=False, default_map=as_defaults(settings)
            )
    except click.ClickException as error:
        if as_json:
            return failure.tell(failure.of_usage(error), as_json)
        error.show()
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        return failure.tell(failure.INTERRUPTION, as_json)
    except KickoverError as error:
        return failure.tell(failure.of_data(error), as_json)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else int(leaving.code is not None)
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    except OSError as error:
        return failure.tell(failure.of_file(error), as_json)
    except Exception:
        return failure.tell(failure.of_ours(_log(traceback.format_exc())), as_json)
    return result if isinstance(result, int) else 0


def _log(details: str) -> str:
    """Save the details of a fault of our own; say where they are."""
    file = faults_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        kept = file.read_text(encoding="utf-8", errors="replace")[-MOST_LOG:] if file.exists() else ""
        write_file(file, f"{kept}{details}\n".encode())
    except (OSError, OutputError) as error:
        return f"kickover met a fault of its own and could not write {file} ({error})"
    return f"kickover met a fault of its own; please report it with what is at the end of {file}"


if __name__ == "__main__":
    entry()
