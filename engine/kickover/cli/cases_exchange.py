"""`kickover cases import`, `undo` and `export`: cases as CSV and JSON Lines."""

from __future__ import annotations

import re
import sys
from itertools import chain, count
from pathlib import Path

import click

from kickover.cli import options
from kickover.cli.cases import grounds_of
from kickover.cli.context import cases_file, open_library, today
from kickover.cli.output import answer, json_option, json_wanted
from kickover.learning.case import CaseError
from kickover.learning.case_files import free_name, import_rows, keep_line, lines_in, write_whole
from kickover.learning.exchange import ExchangeRow, Form, form_of, read_lines, write_lines
from kickover.learning.rows import Wanted
from kickover.learning.store import CaseStore, opened


@click.command(name="import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--aside", type=click.Path(path_type=Path), metavar="FILE",
              help="Where to keep lines that cannot be used; beside FILE without it.")  # fmt: skip
@options.library
@json_option
def import_(file: Path, aside: Path | None) -> int:
    """Add the cases of FILE (.csv or .jsonl).

    A line that cannot be used is named with what would mend it and kept aside; the others are added.
    Exit code 1 when there is any.
    """
    form = form_of(file)
    loaded = open_library()
    troubles: list[dict[str, object]] = []
    with lines_in(file) as lines, opened(cases_file()) as store:
        heading = next(lines, "") if form is Form.CSV else ""
        kept = aside or free_name(file)

        def keep_aside(row: ExchangeRow, trouble: str) -> None:
            keep_line(kept, row.text, None if troubles else heading)
            troubles.append({"line": row.line, "trouble": trouble})
            if not json_wanted():
                click.echo(f"{file}:{row.line}: {trouble}", err=True)

        try:
            rows = read_lines(chain([heading] if heading else [], lines), form)
            origin = _origin(store, file)
            done = import_rows(rows, store, grounds_of(loaded), today(), keep_aside, origin)
        except CaseError as error:
            raise CaseError(f"{file}: {error}") from None
    where = str(kept) if done.aside else None
    said = [f"{done.added} added, {done.known} there already, {done.aside} kept aside"]
    if done.added:
        said.append(f"To take them out again: kickover cases undo {origin}")
    if where:
        said.append(f"Kept aside in {where}: mend the lines there, and import that file")
    counts = {"import": origin, "added": done.added, "known": done.known, "aside": done.aside}
    answer({**counts, "aside_file": where, "troubles": troubles}, said)
    return 1 if done.aside else 0


def _origin(store: CaseStore, file: Path) -> str:
    """A name for this import that no earlier one has: its day and its file."""
    plain = re.sub(r"[^a-z0-9]+", "-", file.stem.lower()).strip("-")[:40]
    name, taken = f"{today().isoformat()}-{plain}".rstrip("-"), store.origins()
    return next(one for one in chain([name], (f"{name}-{number}" for number in count(2))) if one not in taken)


@click.command()
@click.argument("origin", required=False, metavar="IMPORT")
@options.library
@json_option
def undo(origin: str | None) -> None:
    """Take out all cases that came with IMPORT; without it, list the imports."""
    with opened(cases_file()) as store:
        imports = {name: number for name, number in store.origins().items() if name}
        if origin is None:
            answer(imports, (f"{number:7}  {name}" for name, number in imports.items()))
            return
        if origin not in imports:
            raise CaseError(f"there is no import {origin!r}; `kickover cases undo` lists them")
        removed = store.remove_origin(origin)
    answer({"import": origin, "removed": removed}, [f"{_cases(removed)} of {origin} taken out"])


@click.command()
@click.argument("file", required=False, type=click.Path(dir_okay=False, path_type=Path))
@click.option("-o", "--output", type=click.Path(dir_okay=False, path_type=Path), help="The same as FILE.")
@click.option(
    "--form", type=click.Choice([one.value for one in Form]), help="The form, where no file name tells it."
)
@options.day("--since", "Only those of this day and later.")
@options.day("--until", "Only those of this day and before.")
@options.library
@json_option
def export(file: Path | None, output: Path | None, form: str | None, since: str, until: str) -> None:
    """Write all cases to FILE (.csv or .jsonl), or print them.

    With --json the cases are JSON Lines.
    """
    target = file or output
    usual = Form.JSONL if json_wanted() else Form.CSV
    chosen = Form(form) if form else form_of(target) if target else usual
    with opened(cases_file()) as store:
        lines = write_lines(store.stream(Wanted(since=since, until=until)), chosen)
        if target is None:
            sys.stdout.writelines(lines)
            return
        number = write_whole(target, lines) - (1 if chosen is Form.CSV else 0)
    answer({"file": str(target), "cases": number}, [f"{_cases(number)} written to {target}"])


def _cases(number: int) -> str:
    return f"{number} {'case' if number == 1 else 'cases'}"
