"""`kickover cases`: closed cases kept, listed and shown; exchange and learning have files of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from secrets import token_hex
from types import MappingProxyType

import click

from kickover.api import Loaded
from kickover.cli import options
from kickover.cli.context import cases_file, open_library, today, walks_folder
from kickover.cli.lazy_commands import LazyCommands
from kickover.cli.output import answer, json_option, json_wanted, print_json
from kickover.cli.rank import record_sign
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

confirmed_option = click.option(
    "--confirmed",
    type=click.Choice([one.value for one in Confirmed]),
    help=f"How the cause is known; {Confirmed.SEEN.value} is usual.",
)
repair_option = options.name(
    "--repair", "repairs", "The repair after which the complaint was gone; an empty text for none."
)
case_argument = click.argument("id_", metavar="ID")


@click.group(cls=LazyCommands, more=MORE)
def cases() -> None:
    """Keep closed cases, and learn from them."""


@cases.command()
@click.argument("walk", required=False)
@options.machine()
@options.name("--complaint", "complaints", "What was reported; several joined by commas.")
@options.cause
@options.saw
@options.given
@repair_option
@confirmed_option
@options.minutes
@options.day("--date", "When it was; today without it.")
@options.library
@json_option
def add(
    walk: str | None,
    machine: str | None,
    complaint: str | None,
    cause: str | None,
    saw: tuple[str, ...],
    given: tuple[str, ...],
    repair: str | None,
    confirmed: str | None,
    minutes: float | None,
    date: str,
) -> None:
    """Add a case: WALK, the name or file of a walk that ended with a cure; or one written by hand."""
    machines: dict[str, Machine] = {}
    if walk is not None and not (machine or complaint or cause or saw):
        record = named(walks_folder(), walk)
        loaded = opened_for(record)
        case = case_of_walk(record, restored(record, loaded.library).session)
        machines = {record.heading.machine: machine_of(record.heading, loaded.library)}
    elif walk is None and machine and complaint and cause:
        loaded = open_library()
        begun = loaded.walk(complaint.split(","), machine, given)
        for one in saw:
            record_sign(begun, one)
        day = date or today().isoformat()
        case = replace(
            reported(begun.session),
            id=f"{day}-{complaint.split(',')[0]}-{token_hex(3)}",
            date=day,
            machine=str(Path(machine).absolute()) if machine.endswith((".yaml", ".yml")) else machine,
            causes=read_causes(cause),
            confirmed=Confirmed(confirmed or Confirmed.SEEN),
            repair=repair or "",
            minutes=minutes,
        )
    else:
        raise click.UsageError("name a walk, or give --machine, --complaint and --cause")
    _object(case, grounds_of(loaded, machines))
    with opened(cases_file()) as store:
        added = not store.add([case])
    said = "Added" if added else "There already"
    answer({**data_of_case(case), "added": added}, [f"{said}: {case_line(case)}"])


def grounds_of(loaded: Loaded, machines: Mapping[str, Machine] = MappingProxyType({})) -> Grounds:
    """Grounds for the machines given, for those of the library, of one's own, and in files."""
    return Grounds(loaded.library, lambda name: loaded.machine(machines.get(name, name)))


def _object(case: Case, grounds: Grounds) -> None:
    """Raise CaseError with what speaks against a case."""
    for objection in objections(case, grounds, today()):
        raise CaseError(objection)


@cases.command(name="list")
@options.machine()
@options.name("--complaint", "complaints", "Only those with this complaint.")
@options.name("--cause", "causes", "Only those that may have had this cause.")
@options.name("--check", "checks", "Only those in which this check was made.")
@options.day("--since", "Only those of this day and later.")
@options.day("--until", "Only those of this day and before.")
@click.option("--latest", type=click.IntRange(min=1), metavar="N", help="Only so many, the latest.")
@options.library
@json_option
def list_(latest: int | None, **wanted: str | None) -> None:
    """List cases, one line each; with --machine only those of that machine."""
    with opened(cases_file()) as store:
        found = store.stream(Wanted(latest=latest, **{name: value or "" for name, value in wanted.items()}))
        if json_wanted():
            print_json([data_of_case(case) for case in found])
            return
        number = 0
        for number, case in enumerate(found, start=1):  # noqa: B007 - counts the lines
            click.echo(case_line(case))
        click.echo("1 case" if number == 1 else f"{number} cases")


@cases.command()
@case_argument
@options.library
@json_option
def show(id_: str) -> None:
    """Show one case in full."""
    case = _found(id_)
    answer(data_of_case(case), case_lines(case, open_library().library))


@cases.command()
@case_argument
@options.cause
@repair_option
@confirmed_option
@options.minutes
@options.day("--date", "When it was.")
@options.library
@json_option
def correct(
    id_: str,
    cause: str | None,
    repair: str | None,
    confirmed: str | None,
    minutes: float | None,
    date: str,
) -> None:
    """Correct a closed case where it turned out otherwise; what is not given stays as it is."""
    case = _found(id_)
    corrected = replace(
        case,
        causes=read_causes(cause) if cause else case.causes,
        repair=case.repair if repair is None else repair,
        confirmed=Confirmed(confirmed) if confirmed else case.confirmed,
        minutes=case.minutes if minutes is None else minutes,
        date=date or case.date,
    )
    if corrected == case:
        raise click.UsageError(
            "say what is to be corrected: --cause, --repair, --confirmed, --minutes or --date"
        )
    _object(corrected, grounds_of(open_library()))
    with opened(cases_file()) as store:
        store.replace(corrected)
    answer(data_of_case(corrected), [f"Corrected: {case_line(corrected)}"])


def _found(id_: str) -> Case:
    with opened(cases_file()) as store:
        case = store.find(id_)
    if case is None:
        raise CaseError(f"there is no case {id_!r}; `kickover cases list` shows them")
    return case


@cases.command()
@case_argument
@options.library
@json_option
def remove(id_: str) -> None:
    """Take out a case that was added by mistake."""
    _found(id_)
    with opened(cases_file()) as store:
        store.remove(id_)
    answer({"removed": id_}, [f"Removed: {id_}"])
