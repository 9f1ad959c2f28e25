"""`kickover machine`: machines of one's own: written down step by step, shown, checked, changed."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain
from pathlib import Path

import click

from kickover.api import Loaded
from kickover.authoring.profiles import assumed_figures, assumed_in_words, machine_text, read_machine
from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import machines_folder, open_library
from kickover.cli.fronts import front_for
from kickover.cli.output import answer, json_option
from kickover.cli.show import page_lines
from kickover.core.atomic_file import write_file
from kickover.core.ids import FigureId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError, LibraryError
from kickover.documents.reference.entry_page import entry_pages
from kickover.model.library import Library, Machine
from kickover.model.limits import figure_doubt, figure_doubts
from kickover.ui.new_machine import (
    NewMachine,
    change_machine,
    figures_that_matter,
    handle_new_machine_input,
)
from kickover.units import parse


class MachineFileError(KickoverError):
    """A machine that cannot be written where it was wanted, or changed as it was wanted."""


@click.group()
def machine() -> None:
    """Write down machines of your own, and show, check or change them."""


@machine.command()
@click.option("-o", "--output", type=click.Path(path_type=Path), help="The file to write.")
@options.plain
@options.library
def new(output: Path | None, plain: bool) -> None:
    """Ask step by step for a machine of your own and write its file."""
    loaded = open_library()
    asking = NewMachine(loaded.library, frozenset(loaded.with_own_machines.machines))
    _asked(asking, loaded.library, plain, output)


@machine.command()
@click.argument("name", shell_complete=names_of("machines"), metavar="NAME|FILE")
@click.argument("figures", nargs=-1, metavar="[FIGURE=VALUE]...")
@options.plain
@options.library
def edit(name: str, figures: tuple[str, ...], plain: bool) -> None:
    """Change a machine of your own: the figures that are given, or step by step.

    An empty VALUE takes a figure away. Comments in the file are not kept.
    """
    loaded = open_library()
    prior = _own(loaded, name)
    path = Path(prior.place.file)
    if not figures:
        _asked(change_machine(loaded.library, prior), loaded.library, plain, path, replacing=True)
        return
    changed = dict(prior.figures)
    doubts: list[str] = []
    for one in figures:
        figure, mark, value = (part.strip() for part in one.partition("="))
        if not mark or figure not in loaded.library.figures:
            near = nearest(figure, loaded.library.figures)
            hint = f"did you mean {near!r}?" if near else "`kickover machine show` names the figures"
            raise MachineFileError(f"{one!r} does not read as FIGURE=VALUE with a known figure; {hint}")
        id_ = FigureId(figure)
        changed.pop(id_, None)
        if value:
            changed[id_] = parse(value, default_unit=loaded.library.figures[id_].unit)
            doubts += [figure_doubt(loaded.library, replace(prior, figures=changed), id_)]
    click.echo(save_machine(replace(prior, figures=changed), loaded.library, path, replacing=True))
    for doubt in filter(None, doubts):
        click.echo(f"Look again: {doubt}.", err=True)


@machine.command()
@click.argument("name", shell_complete=names_of("machines"), metavar="NAME|FILE")
@options.library
def show(name: str) -> None:
    """Show what a machine has, and all its figures; those that it does not state are marked as assumed."""
    loaded = open_library()
    shown = loaded.machine(name)
    known = replace(loaded.library, machines={**loaded.library.machines, shown.id: shown})
    pages = (page_lines(page) for page in entry_pages(known, shown.id) if page.kind == "machine")
    doubts = (f"\nLook again: {doubt}." for doubt in figure_doubts(loaded.library, shown))
    answer(None, chain(*pages, doubts))


@machine.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@options.library
@json_option
def check(file: Path) -> int:
    """Check the file of a machine: its form, its names, its limits, and figures that can hardly be meant."""
    known = open_library().library
    found, problems = read_machine(file, known)
    doubts = figure_doubts(known, found) if found else ()
    told = list(map(str, problems))
    said = [*told, *(f"{file}: look again: {doubt}" for doubt in doubts)]
    if found:
        said.append(f"{file}: {found.title} can be used")
    answer({"problems": told, "doubts": list(doubts)}, said)
    return 0 if found else 1


@machine.command(name="list")
@options.library
def list_() -> None:
    """List the machines of your own."""
    found = open_library().own_machines
    for one in found:
        click.echo(f"{one.id}  {one.title}")
    click.echo(f"{len(found)} machines in {machines_folder()}")


def save_machine(
    made: Machine, library: Library, output: Path | None = None, *, replacing: bool = False
) -> str:
    """Write a machine's own file and say where; MachineFileError where that cannot be done.

    It is read back first, so that nothing is called saved that the program would refuse.
    """
    path = output or machines_folder() / f"{made.id}.yaml"
    if path.exists() and not replacing:
        raise MachineFileError(f"{path} exists already; give another file with -o")
    draft = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(draft, machine_text(made, library).encode())
        found, problems = read_machine(draft, library)
        if found is None:
            raise MachineFileError(f"not saved: {LibraryError(problems)}")
        draft.replace(path)
    except OSError as error:
        raise MachineFileError(f"{path} cannot be written ({error.strerror}); give a file with -o") from None
    finally:
        draft.unlink(missing_ok=True)
    return f"Saved as {path}"


def _asked(
    asking: NewMachine, library: Library, plain: bool, output: Path | None, *, replacing: bool = False
) -> None:
    """Ask to the end, write the file, and say what is assumed."""
    front = front_for(plain)
    asked, finished = front.converse(asking, handle_new_machine_input)
    if not finished or asked.left:
        front.say("Left; nothing was written.")
        return
    made = asked.machine()
    front.say(save_machine(made, library, output, replacing=replacing))
    matter = figures_that_matter(library, made)
    assumed = [pair for pair in assumed_figures(made, library) if pair[0].id in matter]
    if assumed:
        front.say("Left out, so assumed (`kickover machine edit` takes the right ones when you know them):")
        for figure, value in assumed:
            front.say(f"  {assumed_in_words(figure, value)}")


def _own(loaded: Loaded, name: str) -> Machine:
    """A machine of one's own by name or file; MachineFileError for one of the library."""
    found = loaded.machine(name)
    if found.id in loaded.library.machines and not name.endswith((".yaml", ".yml")):
        raise MachineFileError(
            f"{name} belongs to the library; write one of your own with `kickover machine new`"
        )
    return found
