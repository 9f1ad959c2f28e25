"""Resistances of coils and leads and gaps of magnets in public service manuals (seen; makers left out).

An outboard's lighting coil 0.771 to 0.869 ohm at 20 °C. A small utility vehicle's thin winding 6.32 to
9.48 kohm, read from the plug lead to the coil's tag, and its plug lead 10 kohm. A four-stroke's magnets
0.0125 in from its outside coil, their strength tried by a screwdriver at 3/4 in. A resistive lead is sound at
2,000 ohm an inch (US Army TM 5-3810-288-12).
"""

from __future__ import annotations

import pytest

from kickover.core.ids import CheckId, FigureId, MachineId
from kickover.model.library import Machine
from kickover.model.limits import figure_of, resolved_bands
from kickover.units import Quantity
from worlds.shipped_library import shipped

LIBRARY = shipped()
UNKNOWN = LIBRARY.machines[MachineId("unknown-two-stroke")]
STEP_THROUGH = LIBRARY.machines[MachineId("electric-step-through")]
ROLLER = LIBRARY.machines[MachineId("roller-two-stroke")]


def finding(check: str, reading: Quantity, machine: Machine) -> str:
    known = LIBRARY.checks[CheckId(check)].reading
    assert known is not None
    edges = resolved_bands(known, LIBRARY, machine)
    return known.bands[sum(edge <= reading.within(known.unit) for edge in edges)].finding


def test_the_usual_lighting_coil_is_that_of_the_manual() -> None:
    coil = figure_of(LIBRARY, UNKNOWN, FigureId("lighting-coil")).within("ohm")

    assert 0.771 <= coil <= 0.869


@pytest.mark.parametrize("ohms", [0.771, 0.869])
def test_both_ends_of_its_range_are_called_right(ohms: float) -> None:
    assert finding("lighting-coil-resistance", Quantity(ohms, "ohm"), UNKNOWN) == "right"


def test_a_lead_of_ten_kilo_ohms_is_not_called_broken() -> None:
    assert finding("lead-resistance-end-to-end", Quantity(10, "kohm"), STEP_THROUGH) == "resistive"


@pytest.mark.parametrize("inches", [4, 8, 12])
def test_a_suppression_lead_of_two_thousand_ohms_an_inch_is_not_called_broken(inches: int) -> None:
    reading = Quantity(2000 * inches, "ohm")

    assert finding("lead-resistance-end-to-end", reading, UNKNOWN) == "resistive"


def test_a_coil_with_its_own_tag_is_read_from_there_and_found_right() -> None:
    machine = STEP_THROUGH
    figure = figure_of(LIBRARY, machine, FigureId("coil-secondary"))

    assert finding("coil-secondary-to-tag-resistance", figure, machine) == "right"
    assert "core" not in LIBRARY.checks[CheckId("coil-secondary-to-tag-resistance")].ask


def test_a_thin_winding_of_the_manual_is_right_where_no_figure_is_known() -> None:
    assert finding("coil-secondary-resistance", Quantity(6.32, "kohm"), UNKNOWN) == "right"
    assert finding("coil-secondary-resistance", Quantity(7.9, "kohm"), UNKNOWN) == "right"


def test_magnets_at_the_gap_of_the_manual_are_called_right() -> None:
    assert finding("magnet-air-gap", Quantity(0.0125, "in"), ROLLER) == "right"


def test_the_screwdriver_hangs_no_farther_off_than_in_the_manual() -> None:
    ask = LIBRARY.checks[CheckId("magnet-pull")].ask

    assert "15 mm" in ask
    assert Quantity(15, "mm") < Quantity(0.75, "in")
