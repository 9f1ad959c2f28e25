"""A jet seller's table for height and heat, with its worked example (seen; name left out).

Numbers of that kind of jet go with what it passes. 200 at 1,000 ft and 70 °F becomes 162 at 8,000 ft and
60 °F: the table takes 6 for each 1,000 ft and gives 4 for each 10 °F colder. It goes with the air itself,
where the metering of a plain jet goes with the root of it; the formula here is the careful one, and stays
richer.
"""

from __future__ import annotations

import math

import pytest

from kickover.formulas import compute
from kickover.units import Quantity


def passed(number: float, from_feet: float, from_f: float, to_feet: float, to_f: float) -> float:
    """The number of a jet by flow that our formula gives for the second place."""
    found = compute(
        "jet-for-density",
        {
            "jet": 1.0,
            "altitude": Quantity(to_feet, "ft"),
            "temperature": Quantity(to_f, "°F"),
            "reference-altitude": Quantity(from_feet, "ft"),
            "reference-temperature": Quantity(from_f, "°F"),
        },
    )
    return number * found.value.within("mm") ** 2


def test_the_worked_example_of_the_table_goes_the_same_way_and_farther() -> None:
    ours = passed(200, 1000, 70, 8000, 60)

    assert 162 < ours < 200


def test_the_table_goes_with_the_air_and_the_formula_with_its_root() -> None:
    """Twice as far in logarithms, within a fifth."""
    ours = passed(200, 1000, 70, 8000, 60)

    assert math.log(162 / 200) / math.log(ours / 200) == pytest.approx(2, rel=0.2)


@pytest.mark.parametrize(("colder", "gives"), [(10, 4), (30, 12), (60, 24)])
def test_cold_wants_a_larger_jet_and_never_more_than_the_table(colder: float, gives: float) -> None:
    ours = passed(200, 0, 70, 0, 70 - colder) - 200

    assert 0 < ours <= gives
