"""Tightening torque and gap of spark plugs, as printed by a plug maker and in US Army manuals (all seen).

The maker's table gives plugs with a gasket, thread dry, in aluminium heads, in foot-pounds. The manuals:
TM 5-3810-288-12 (20 ft lb, gap 0.023 to 0.028 in), TM 5-4320-259-12 (gap 0.020 in), TM 5-4310-360-14 (gap
0.028 to 0.030 in) and TM 10-3930-653-14P (M14, 0.7 to 0.8 mm).
"""

from __future__ import annotations

import pytest

from kickover.core.ids import CheckId, FigureId, MachineId, TraitId
from kickover.model.library import Machine
from kickover.model.limits import figure_of, resolved_bands
from kickover.units import Quantity
from worlds.shipped_library import shipped

LIBRARY = shipped()
UNKNOWN = LIBRARY.machines[MachineId("unknown-two-stroke")]


def with_trait(*traits: str) -> Machine:
    """The machine without figures of its own, with some traits more."""
    more = frozenset(TraitId(one) for one in traits)
    return Machine(
        id=UNKNOWN.id,
        title=UNKNOWN.title,
        about=UNKNOWN.about,
        invented=UNKNOWN.invented,
        traits=UNKNOWN.traits | more,
        figures=UNKNOWN.figures,
        place=UNKNOWN.place,
    )


@pytest.mark.parametrize(
    ("traits", "least", "most"),
    [(("plug-thread-m10",), 7.2, 8.7), (("plug-thread-m12",), 10.8, 14.5), ((), 18.0, 21.6)],
    ids=["M10", "M12", "M14"],
)
def test_the_usual_torque_lies_within_the_makers_table(
    traits: tuple[str, ...], least: float, most: float
) -> None:
    torque = figure_of(LIBRARY, with_trait(*traits), FigureId("plug-torque"))

    assert Quantity(least, "ft·lb") <= torque <= Quantity(most, "ft·lb")


def test_the_usual_torque_of_m14_is_near_that_of_an_army_manual() -> None:
    torque = figure_of(LIBRARY, UNKNOWN, FigureId("plug-torque"))

    assert torque.within("N·m") == pytest.approx(Quantity(20, "ft·lb").within("N·m"), rel=0.1)


@pytest.mark.parametrize("inches", [0.020, 0.023, 0.028, 0.030, 0.0315])
def test_the_gaps_of_the_manuals_are_called_right_where_no_figure_is_known(inches: float) -> None:
    reading = LIBRARY.checks[CheckId("plug-gap-size")].reading
    assert reading is not None
    closed, wide = resolved_bands(reading, LIBRARY, UNKNOWN)

    assert closed < Quantity(inches, "in").within("mm") < wide
