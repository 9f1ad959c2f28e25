"""A machine written as YAML text that `load_machine` reads back, with what is not stated told in comments."""

from __future__ import annotations

import json
from collections.abc import Iterator

from kickover.model.library import Figure, Library, Machine
from kickover.model.limits import LimitError, figure_of
from kickover.units import Quantity, show


def machine_text(machine: Machine, library: Library) -> str:
    """Give the YAML text of a machine's own file; figures that it does not state follow as comments."""
    lines = ["machine:", f"  id: {_quoted(machine.id)}", f"  title: {_quoted(machine.title)}"]
    if machine.about:
        lines.append(f"  about: {_quoted(machine.about)}")
    if machine.invented:
        lines.append("  invented: true")
    lines.append(f"  traits: [{', '.join(sorted(machine.traits))}]")
    lines.append("  figures:" if machine.figures else "  figures: {}")
    lines += [f"    {name}: {_quoted(str(value))}" for name, value in machine.figures.items()]
    assumed = tuple(assumed_figures(machine, library))
    if assumed:
        lines.append("  # Not stated, so assumed:")
        lines += [f"  #   {figure.id}: {value}" for figure, value in assumed]
    return "\n".join(lines) + "\n"


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


def _quoted(text: str) -> str:
    """Quote text so that YAML reads it as it is: every JSON string is a YAML string."""
    return json.dumps(text, ensure_ascii=False)
