"""The figures of the machine that a repair or a setup is finished to: torques, gaps, free play."""

from __future__ import annotations

from collections.abc import Iterable

from kickover.core.ids import FigureId
from kickover.model.library import Library, Machine
from kickover.model.limits import LimitError, figure_of
from kickover.session.session import Session, Task
from kickover.units import show


def figures_in_words(library: Library, machine: Machine, figures: Iterable[FigureId]) -> tuple[str, ...]:
    """Each figure with its number and unit: of this machine, or else the usual one, said to be so."""
    return tuple(words for figure in figures if (words := _in_words(library, machine, figure)))


def preparation_figures(session: Session, task: Task) -> tuple[str, ...]:
    """The figures that a setup is put back to; none while it is being taken off."""
    preparation = task.preparation
    if preparation is None or preparation.setup is None or not preparation.undo:
        return ()
    setup = session.library.setups[preparation.setup]
    return figures_in_words(session.library, session.model.machine, setup.figures)


def _in_words(library: Library, machine: Machine, figure: FigureId) -> str:
    try:
        value = show(figure_of(library, machine, figure))
    except LimitError:
        return ""
    title = library.figures[figure].title
    if figure in machine.figures:
        return f"{title}: {value} on this machine."
    return f"{title}: {value} is usual; the maker's figure goes before it."
