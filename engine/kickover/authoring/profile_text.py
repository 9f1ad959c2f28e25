"""A machine written as YAML text that `load_machine` reads back, with what is not stated told in comments."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.authoring.source import yaml_text
from kickover.model.library import Figure, Library, Machine
from kickover.model.limits import LimitError, figure_of
from kickover.units import Quantity, show


def machine_text(machine: Machine, library: Library) -> str:
    """Give the YAML text of a machine's own file; figures that it does not state follow as comments."""
    figures = {str(name): str(value) for name, value in machine.figures.items()}
    data: dict[str, object] = {"id": machine.id, "title": machine.title}
    data |= {"about": machine.about} if machine.about else {}
    data |= {"invented": True} if machine.invented else {}
    data |= {"traits": sorted(machine.traits), "figures": figures}
    text = yaml_text({"machine": data})
    assumed = [f"  #   {figure.id}: {value}\n" for figure, value in assumed_figures(machine, library)]
    return "".join([text, *(["  # Not stated, so assumed:\n"] if assumed else []), *assumed])


def assumed_figures(machine: Machine, library: Library) -> Iterator[tuple[Figure, Quantity]]:
    """Give each figure that the machine does not state, with the value that is assumed for it."""
    for id_, figure in library.figures.items():
        if id_ not in machine.figures:
            try:
                yield figure, figure_of(library, machine, id_)
            except LimitError:
                continue


def assumed_in_words(figure: Figure, value: Quantity) -> str:
    """Say which value is assumed for a figure."""
    return f"{figure.title}: {show(value)}"
