"""`kickover cases`: closed cases kept, listed and shown; exchange and learning have files of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from importlib import import_module
from pathlib import Path
from secrets import token_hex
from types import MappingProxyType

import click

from kickover.api import Loaded
from kickover.cli.completing import names_of
from kickover.cli.context import (
    FiniteRange,
    cases_file,
    json_option,
    library_option,
    open_library,
    print_json,
    today,
    walks_folder,
)
from kickover.cli.rank import parted
from kickover.cli.saved import named, opened_for
from kickover.learning.case import Case, CaseError, Confirmed
from kickover.learning.case_wording import case_line, case_lines
from kickover.learning.closing import case_of_walk, reported
from kickover.learning.exchange import data_of_case
from kickover.learning.likely_causes import Grounds
from kickover.learning.notation import read_causes
from kickover.learning.rows import Wanted
from kickover.learning.store import opened
from kickover.learning.vetting import objections
from kickover.model.library import Machine
from kickover.session.restoring import machine_of, restored

MORE: Mapping[str, str] = {
    "import": "kickover.cli.cases_exchange:import_",
    "export": "kickover.cli.cases_exchange:export",
    "undo": "kickover.cli.cases_exchange:undo",
    "learn": "kickover.cli.cases_learn:learn",
}
"""Commands that live in files of their own, imported when they are used."""


class CaseCommands(click.Group):
    """The group, with the commands of `MORE`."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Give the names of all commands."""
        return [*super().list_commands(ctx), *MORE]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command by its name."""
        if cmd_name not in MORE:
            return super().get_command(ctx, cmd_name)
        module, _, name = MORE[cmd_name].partition(":")
        command = getattr(import_module(module), name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=CaseCommands)
def cases() -> None:
    """Keep closed cases, and learn from them."""


def as_date(_context: click.Context, _option: click.Parameter, value: str | None) -> str:
    """Read the value of an option that is a date. Raises BadParameter when it is none."""
    try:
        return "" if value is None else date.fromisoformat(value).isoformat()
    except ValueError:
        raise click.BadParameter(f"{value!r} is no date; write it as 2026-03-31") from None


@cases.command()
@click.argument("walk", required=False)
@click.option(
    "--machine", shell_complete=names_of("machines"), help="A machine of the library, or a file of one."
)
@click.option("--complaint", help="What was reported; several joined by commas.")
@click.option("--cause", help="What it was: A, or A+B for both at once, or A/B for one of them.")
@click.option(
    "--saw",
    shell_complete=names_of("checks"),
    multiple=True,
    metavar="CHECK=FINDING",
    help="What was found, as in `kickover rank`.",
)
@click.option(
    "--given",
    shell_complete=names_of("situations"),
    multiple=True,
    metavar="EVENT",
    help="Something that was true of the situation.",
)
@click.option("--repair", default="", help="The repair after which the complaint was gone.")
@click.option("--confirmed", type=click.Choice([one.value for one in Confirmed]),
              default=Confirmed.SEEN.value, show_default=True, help="How the cause is known.")  # fmt: skip
@click.option("--minutes", type=FiniteRange(min=0), help="How long it took.")
@click.option("--date", "when", callback=as_date, metavar="DATE", help="When it was; today without it.")
@library_option
@json_option
def add(
    walk: str | None,
    machine: str | None,
    complaint: str | None,
    cause: str | None,
    saw: tuple[str, ...],
    given: tuple[str, ...],
    repair: str,
    confirmed: str,
    minutes: float | None,
    when: str,
    library: Path | None,
    as_json: bool,
) -> int:
    """Add a case: WALK, the name or file of a walk that ended with a cure; or one written by hand."""
    machines: dict[str, Machine] = {}
    if walk is not None and not (machine or complaint or cause or saw):
        record = named(walks_folder(), walk)
        loaded = opened_for(record, library)
        case = case_of_walk(record, restored(record, loaded.library).session)
        machines = {record.heading.machine: machine_of(record.heading, loaded.library)}
    elif walk is None and machine and complaint and cause:
        loaded = open_library(library)
        begun = loaded.walk(complaint.split(","), machine, given)
        for one in saw:
            begun.record(*parted(one))
        day = when or today().isoformat()
        case = replace(
            reported(begun.session),
            id=f"{day}-{complaint.split(',')[0]}-{token_hex(3)}",
            date=day,
            machine=str(Path(machine).absolute()) if machine.endswith((".yaml", ".yml")) else machine,
            causes=read_causes(cause),
            confirmed=Confirmed(confirmed),
            repair=repair,
            minutes=minutes,
        )
    else:
        raise click.UsageError("name a walk, or give --machine, --complaint and --cause")
    return _keep(grounds_of(loaded, machines), case, as_json)


def grounds_of(loaded: Loaded, machines: Mapping[str, Machine] = MappingProxyType({})) -> Grounds:
    """Grounds for the machines given, for those of the library, of one's own, and in files."""
    return Grounds(loaded.library, lambda name: loaded.machine(machines.get(name, name)))


def _keep(grounds: Grounds, case: Case, as_json: bool) -> int:
    for objection in objections(case, grounds, today()):
        raise CaseError(objection)
    with opened(cases_file()) as store:
        known = bool(store.add([case]))
    if as_json:
        print_json({**data_of_case(case), "added": not known})
    else:
        click.echo(f"{'There already' if known else 'Added'}: {case_line(case)}")
    return 0


@cases.command(name="list")
@click.option(
    "--machine", shell_complete=names_of("machines"), default="", help="Only those of this machine."
)
@click.option("--complaint", default="", help="Only those with this complaint.")
@click.option("--cause", default="", help="Only those that may have had this cause.")
@click.option("--check", default="", help="Only those in which this check was made.")
@click.option("--since", callback=as_date, metavar="DATE", help="Only those of this day and later.")
@click.option("--until", callback=as_date, metavar="DATE", help="Only those of this day and before.")
@click.option("--latest", type=click.IntRange(min=1), metavar="N", help="Only so many, the latest.")
@library_option
@json_option
def list_(
    machine: str,
    complaint: str,
    cause: str,
    check: str,
    since: str,
    until: str,
    latest: int | None,
    library: Path | None,  # noqa: ARG001 - every command takes it; a list needs none
    as_json: bool,
) -> int:
    """List cases, one line each."""
    wanted = Wanted("", machine, complaint, cause, check, since, until, latest)
    with opened(cases_file()) as store:
        if as_json:
            print_json([data_of_case(case) for case in store.stream(wanted)])
            return 0
        number = 0
        for number, case in enumerate(store.stream(wanted), start=1):  # noqa: B007 - counts the lines
            click.echo(case_line(case))
        click.echo("1 case" if number == 1 else f"{number} cases")
    return 0


@cases.command()
@click.argument("id_", metavar="ID")
@library_option
@json_option
def show(id_: str, library: Path | None, as_json: bool) -> int:
    """Show one case in full."""
    case = _found(id_)
    if as_json:
        print_json(data_of_case(case))
    else:
        for line in case_lines(case, open_library(library).library):
            click.echo(line)
    return 0


@cases.command()
@click.argument("id_", metavar="ID")
@click.option("--cause", help="What it was: A, or A+B for both at once, or A/B for one of them.")
@click.option("--repair", help="The repair after which the complaint was gone; an empty text for none.")
@click.option(
    "--confirmed", type=click.Choice([one.value for one in Confirmed]), help="How the cause is known."
)
@click.option("--minutes", type=FiniteRange(min=0), help="How long it took.")
@click.option("--date", "when", callback=as_date, metavar="DATE", help="When it was.")
@library_option
@json_option
def correct(
    id_: str,
    cause: str | None,
    repair: str | None,
    confirmed: str | None,
    minutes: float | None,
    when: str,
    library: Path | None,
    as_json: bool,
) -> int:
    """Correct a closed case where it turned out otherwise; what is not given stays as it is."""
    case = _found(id_)
    corrected = replace(
        case,
        causes=read_causes(cause) if cause else case.causes,
        repair=case.repair if repair is None else repair,
        confirmed=Confirmed(confirmed) if confirmed else case.confirmed,
        minutes=case.minutes if minutes is None else minutes,
        date=when or case.date,
    )
    if corrected == case:
        raise click.UsageError(
            "say what is to be corrected: --cause, --repair, --confirmed, --minutes or --date"
        )
    for objection in objections(corrected, grounds_of(open_library(library)), today()):
        raise CaseError(objection)
    with opened(cases_file()) as store:
        store.replace(corrected)
    if as_json:
        print_json(data_of_case(corrected))
    else:
        click.echo(f"Corrected: {case_line(corrected)}")
    return 0


def _found(id_: str) -> Case:
    with opened(cases_file()) as store:
        case = store.find(id_)
    if case is None:
        raise CaseError(f"there is no case {id_!r}; `kickover cases list` shows them")
    return case


@cases.command()
@click.argument("id_", metavar="ID")
@library_option
@json_option
def remove(id_: str, library: Path | None, as_json: bool) -> int:  # noqa: ARG001 - see `list`
    """Take out a case that was added by mistake."""
    with opened(cases_file()) as store:
        if not store.remove(id_):
            raise CaseError(f"there is no case {id_!r}; `kickover cases list` shows them")
    if as_json:
        print_json({"removed": id_})
    else:
        click.echo(f"Removed: {id_}")
    return 0
