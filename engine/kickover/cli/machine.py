"""`kickover machine`: a machine of one's own, written down step by step."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.authoring.profile_text import assumed_figures, assumed_in_words, machine_text
from kickover.cli.context import library_option, machines_folder, open_library
from kickover.cli.fronts import front_for
from kickover.core.problem import KickoverError
from kickover.model.library import Library, Machine
from kickover.ui.new_machine import NewMachine, figures_that_matter, handle_new_machine_input


class MachineFileError(KickoverError):
    """A machine that cannot be written where it was wanted."""


@click.group()
def machine() -> None:
    """Write down a machine of your own."""


@machine.command()
@click.option("-o", "--output", type=click.Path(path_type=Path), help="The file to write.")
@click.option("--plain", is_flag=True, help="Plain lines: no colour, no cursor movement.")
@library_option
def new(output: Path | None, plain: bool, library: Path | None) -> int:
    """Ask step by step for a machine of your own and write its file."""
    loaded = open_library(library)
    known = loaded.library
    front = front_for(plain)
    taken = frozenset(known.machines) | frozenset(own_machine.id for own_machine in loaded.own_machines)
    asked, finished = front.converse(NewMachine(known, taken), handle_new_machine_input)
    if not finished or asked.left:
        front.say("Left; nothing was written.")
        return 0
    made = asked.machine()
    front.say(save_machine(made, known, output))
    matter = figures_that_matter(known, made)
    assumed = [pair for pair in assumed_figures(made, known) if pair[0].id in matter]
    if assumed:
        front.say("Left out, so assumed (write the right ones into the file when you know them):")
        for figure, value in assumed:
            front.say(f"  {assumed_in_words(figure, value)}")
    return 0


@machine.command(name="list")
@library_option
def list_(library: Path | None) -> int:
    """List the machines of your own."""
    found = open_library(library).own_machines
    for one in found:
        click.echo(f"{one.id}  {one.title}")
    click.echo(f"{len(found)} machines in {machines_folder()}")
    return 0


def save_machine(made: Machine, library: Library, output: Path | None = None) -> str:
    """Write a machine's own file and say where; MachineFileError where that cannot be done."""
    path = output or machines_folder() / f"{made.id}.yaml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8") as file:
            file.write(machine_text(made, library))
    except FileExistsError:
        raise MachineFileError(f"{path} exists already; give another file with -o") from None
    except OSError as error:
        raise MachineFileError(f"{path} cannot be written ({error.strerror}); give a file with -o") from None
    return f"Saved as {path}"
