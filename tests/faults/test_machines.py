"""The machines of the demo co-op: invented, and complete with the figures that their checks need."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from kickover.authoring.validate.context import ValidationContext
from kickover.authoring.validate.measurement import check_agreement
from kickover.core.ids import FigureId, MachineId
from kickover.model.library import FigureRef, FormulaRef, Limit, Machine
from kickover.model.limits import figure_of
from kickover.units import parse
from worlds.shipped_library import shipped

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


def spoilt(figure: str, value: str) -> list[str]:
    machine = LIBRARY.machines[MachineId("clip-on-two-stroke")]
    unit = LIBRARY.figures[FigureId(figure)].unit
    figures = {**machine.figures, FigureId(figure): parse(value, default_unit=unit)}
    changed = replace(LIBRARY, machines={machine.id: replace(machine, figures=figures)})
    return [problem.message for problem in check_agreement(ValidationContext(changed, frozenset()))]


@pytest.mark.parametrize(
    ("figure", "value", "said"),
    [
        ("displacement", "80 cm³", "it states 80 cm³"),
        ("bore", "52 mm", "make `displacement`"),
        ("reduction", "40", "make `road-speed` 13.79"),
        ("cruise-speed", "11000 rpm", "make `piston-speed` 14.8"),
        ("compression-ratio", "18", "make `cranking-reading`"),
    ],
)
def test_figures_that_contradict_each_other_are_told(figure: str, value: str, said: str) -> None:
    assert any(said in message for message in spoilt(figure, value)), spoilt(figure, value)


def test_figures_that_agree_pass() -> None:
    assert spoilt("displacement", "66 cm³") == []


@pytest.mark.parametrize("name", CO_OP)
def test_it_states_its_displacement_and_its_speed(name: MachineId) -> None:
    assert {FigureId("displacement"), FigureId("road-speed")} <= LIBRARY.machines[name].figures.keys()


def test_a_figure_that_nobody_states_follows_from_the_others() -> None:
    """12.5663 x 4 cm is 50.27 cm³: the assumed bore and stroke of 40 mm."""
    unknown = LIBRARY.machines[MachineId("unknown-two-stroke")]

    assert figure_of(LIBRARY, unknown, FigureId("displacement")).value == pytest.approx(50.27, abs=0.01)
