"""The machines of the demo co-op: invented, and complete with the figures that their checks need."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from faults.reach import shipped
from kickover.core.ids import FigureId, MachineId
from kickover.model.library import FigureRef, FormulaRef, Limit, Machine

LIBRARY = shipped()
CO_OP = [machine.id for machine in LIBRARY.machines.values() if "co-op" in machine.title]


def figures_of(limit: Limit | None) -> Iterator[FigureId]:
    match limit.base if limit else None:
        case FigureRef(figure):
            yield figure
        case FormulaRef(_, arguments):
            yield from (argument.figure for argument in arguments.values() if isinstance(argument, FigureRef))


def figures_measured_on(machine: Machine) -> set[FigureId]:
    return {
        figure
        for check in LIBRARY.checks.values()
        if check.reading is not None and machine.fits(check.needs.only_if)
        for band in check.reading.bands
        for limit in (band.low, band.high)
        for figure in figures_of(limit)
    }


def test_there_are_at_least_five() -> None:
    assert len(CO_OP) >= 5


@pytest.mark.parametrize("name", CO_OP)
def test_it_is_marked_as_invented(name: MachineId) -> None:
    machine = LIBRARY.machines[name]

    assert machine.invented
    assert "nvented for the demo" in machine.about


@pytest.mark.parametrize("name", CO_OP)
def test_it_states_every_figure_that_its_checks_need(name: MachineId) -> None:
    machine = LIBRARY.machines[name]

    assert figures_measured_on(machine) - set(machine.figures) == set()


@pytest.mark.parametrize("name", CO_OP)
def test_it_stands_at_the_height_of_the_town(name: MachineId) -> None:
    assert LIBRARY.machines[name].figures[FigureId("altitude")].within("m") == 1450
