"""`kickover cases import` and `export`: cases as CSV and JSON Lines."""

from __future__ import annotations

import re
import sys
from itertools import chain
from pathlib import Path

import click

from kickover.cli.cases import as_date, grounds_of
from kickover.cli.context import cases_file, json_option, library_option, open_library, print_json, today
from kickover.learning.case import CaseError
from kickover.learning.case_files import free_name, import_rows, keep_line, lines_in, write_whole
from kickover.learning.exchange import ExchangeRow, Form, form_of, read_lines, write_lines
from kickover.learning.rows import Wanted
from kickover.learning.store import CaseStore, opened


@click.command(name="import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--aside", type=click.Path(path_type=Path), metavar="FILE",
              help="Where to keep lines that cannot be used; beside FILE without it.")  # fmt: skip
@library_option
@json_option
def import_(file: Path, aside: Path | None, library: Path | None, as_json: bool) -> int:
    """Add the cases of FILE (.csv or .jsonl).

    A line that cannot be used is named with what would mend it and kept aside; the others are added.
    Exit code 1 when there is any.
    """
    form = form_of(file)
    loaded = open_library(library)
    troubles: list[dict[str, object]] = []
    with lines_in(file) as lines, opened(cases_file()) as store:
        heading = next(lines, "") if form is Form.CSV else ""
        kept = aside or free_name(file)

        def keep_aside(row: ExchangeRow, trouble: str) -> None:
            keep_line(kept, row.text, None if troubles else heading)
            troubles.append({"line": row.line, "trouble": trouble})
            if not as_json:
                click.echo(f"{file}:{row.line}: {trouble}", err=True)

        try:
            rows = read_lines(chain([heading] if heading else [], lines), form)
            grounds = grounds_of(loaded)
            origin = _origin(store, file)
            done = import_rows(rows, store, grounds, today(), keep_aside, origin)
        except CaseError as error:
            raise CaseError(f"{file}: {error}") from None
    where = str(kept) if done.aside else None
    if as_json:
        data = {
            "import": origin,
            "added": done.added,
            "known": done.known,
            "aside": done.aside,
            "aside_file": where,
        }
        print_json({**data, "troubles": troubles})
    else:
        click.echo(f"{done.added} added, {done.known} there already, {done.aside} kept aside")
        if done.added:
            click.echo(f"To take them out again: kickover cases undo {origin}")
        if where:
            click.echo(f"Kept aside in {where}: mend the lines there, and import that file")
    return 1 if done.aside else 0


def _origin(store: CaseStore, file: Path) -> str:
    """A name for this import that no earlier one has: its day and its file."""
    plain = re.sub(r"[^a-z0-9]+", "-", file.stem.lower()).strip("-")[:40]
    name, number = f"{today().isoformat()}-{plain}".rstrip("-"), 1
    while (numbered := name if number == 1 else f"{name}-{number}") in store.origins():
        number += 1
    return numbered


@click.command()
@click.argument("origin", required=False, metavar="IMPORT")
@library_option
@json_option
def undo(origin: str | None, library: Path | None, as_json: bool) -> int:  # noqa: ARG001 - needs none
    """Take out all cases that came with IMPORT; without it, list the imports."""
    with opened(cases_file()) as store:
        imports = {name: count for name, count in store.origins().items() if name}
        if origin is None:
            if as_json:
                print_json(imports)
            else:
                for name, count in imports.items():
                    click.echo(f"{count:7}  {name}")
            return 0
        if origin not in imports:
            raise CaseError(f"there is no import {origin!r}; `kickover cases undo` lists them")
        removed = store.remove_origin(origin)
    if as_json:
        print_json({"import": origin, "removed": removed})
    else:
        click.echo(f"{removed} {'case' if removed == 1 else 'cases'} of {origin} taken out")
    return 0


@click.command()
@click.argument("file", required=False, type=click.Path(dir_okay=False, path_type=Path))
@click.option("-o", "--output", type=click.Path(dir_okay=False, path_type=Path), help="The same as FILE.")
@click.option(
    "--form", type=click.Choice([one.value for one in Form]), help="The form, where no file name tells it."
)
@click.option("--since", callback=as_date, metavar="DATE", help="Only cases of this day and later.")
@click.option("--until", callback=as_date, metavar="DATE", help="Only cases of this day and before.")
@library_option
@json_option
def export(
    file: Path | None,
    output: Path | None,
    form: str | None,
    since: str,
    until: str,
    library: Path | None,  # noqa: ARG001 - every command takes it; an export needs none
    as_json: bool,
) -> int:
    """Write all cases to FILE (.csv or .jsonl), or print them.

    With --json the cases are JSON Lines.
    """
    target = file or output
    chosen = Form(form) if form else form_of(target) if target else Form.JSONL if as_json else Form.CSV
    with opened(cases_file()) as store:
        lines = write_lines(store.stream(Wanted(since=since, until=until)), chosen)
        if target is None:
            sys.stdout.writelines(lines)
            return 0
        number = write_whole(target, lines) - (1 if chosen is Form.CSV else 0)
    if as_json:
        print_json({"file": str(target), "cases": number})
    else:
        click.echo(f"{number} {'case' if number == 1 else 'cases'} written to {target}")
    return 0
