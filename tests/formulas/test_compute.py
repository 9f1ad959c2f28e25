"""Formulas are found by name, their inputs checked, and every result says where it comes from."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import is_id
from kickover.core.problem import KickoverError
from kickover.formulas import (
    FigureError,
    FigureRangeError,
    FigureUsageError,
    Formula,
    Parameter,
    compute,
    describe_range,
    registry,
)
from kickover.units import Quantity, dimension_of, known_units

FORMULAS = list(registry().values())


def middling(formula: Formula) -> dict[str, Quantity | str]:
    """Give every required number a value low in its range, and every choice its first word."""
    arguments: dict[str, Quantity | str] = {}
    for parameter in formula.parameters:
        if parameter.choices is not None:
            arguments[parameter.name] = parameter.choices[0]
        elif parameter.required and parameter.default is None:
            assert parameter.low is not None
            assert parameter.high is not None
            arguments[parameter.name] = Quantity(
                parameter.low + 0.3 * (parameter.high - parameter.low), parameter.unit
            )
    return arguments


FITTING: dict[str, dict[str, Quantity | str]] = {
    "trapped-ratio": {"trapped-share": "0.7"},
    "leak-down": {"supply": "6 bar", "cylinder": "5 bar"},
    "crankcase-leak-rate": {"start": "0.5 bar", "end": "0.45 bar"},
    "natural-frequency": {"lower": "3000 rpm", "upper": "3600 rpm"},
    "stiffness-by-added-mass": {"before": "60 Hz", "after": "50 Hz"},
    "travel-to-advance": {"travel": "2 mm"},
}


def test_every_formula_works_and_shows_its_working_and_source() -> None:
    for formula in FORMULAS:
        result = compute(formula.name, middling(formula) | FITTING.get(formula.name, {}))
        assert math.isfinite(result.value.value)
        assert result.value is next(iter(result.values.values()))
        assert result.working
        assert all("\n" not in line for line in (*result.working, *result.notes))
        assert formula.source in result.source
        assert formula.section in result.source


def test_every_result_is_in_the_unit_that_the_formula_promises() -> None:
    for formula in FORMULAS:
        result = compute(formula.name, middling(formula) | FITTING.get(formula.name, {}))
        assert result.value.unit == formula.result_unit
        assert result.value.dimension == formula.dimension == dimension_of(formula.result_unit)


def test_every_formula_is_described_whole() -> None:
    for formula in FORMULAS:
        assert registry()[formula.name] is formula
        assert is_id(formula.name)
        assert all((formula.title, formula.source, formula.section, formula.validity))
        names = [parameter.name for parameter in formula.parameters]
        assert len(set(names)) == len(names)
        for parameter in formula.parameters:
            assert is_id(parameter.name)
            assert parameter.title
            if parameter.choices is None:
                assert parameter.low is not None
                assert parameter.high is not None
                assert parameter.low < parameter.high
                if isinstance(parameter.default, float | int):
                    assert parameter.low <= parameter.default <= parameter.high
            elif parameter.default is not None:
                assert parameter.default in parameter.choices


def test_every_required_parameter_is_asked_for_by_name_with_its_range() -> None:
    for formula in FORMULAS:
        arguments = middling(formula) | FITTING.get(formula.name, {})
        for parameter in formula.parameters:
            if not parameter.required or parameter.default is not None:
                continue
            lacking = {name: value for name, value in arguments.items() if name != parameter.name}
            with pytest.raises(FigureUsageError) as caught:
                compute(formula.name, lacking)
            assert f"needs {parameter.name}" in str(caught.value)
            assert describe_range(parameter) in str(caught.value)


NUMBERS = [
    (formula, parameter)
    for formula in FORMULAS
    for parameter in formula.parameters
    if parameter.choices is None
]


def test_a_value_outside_the_range_is_refused_with_the_range() -> None:
    for formula, parameter in NUMBERS:
        assert parameter.low is not None
        assert parameter.high is not None
        span = parameter.high - parameter.low
        for outside in (parameter.low - span, parameter.high + span):
            arguments = middling(formula) | {parameter.name: Quantity(outside, parameter.unit)}
            with pytest.raises(FigureRangeError) as caught:
                compute(formula.name, arguments)
            assert f"{formula.name}: {parameter.name} is" in str(caught.value)
            assert describe_range(parameter) in str(caught.value)


def test_a_value_of_the_wrong_kind_is_refused() -> None:
    for formula, parameter in NUMBERS:
        wrong = "3 kg" if parameter.dimension == "voltage" else "3 V"
        with pytest.raises(FigureUsageError, match=f"{formula.name}: {parameter.name}: .* it takes"):
            compute(formula.name, middling(formula) | {parameter.name: wrong})


@pytest.mark.parametrize(
    ("name", "arguments", "says"),
    [
        ("cranking-presure", {}, "there is no formula 'cranking-presure'; did you mean cranking-pressure"),
        ("premix", {"ratio": 40, "feul": 1}, "premix has no 'feul'; did you mean fuel?"),
        ("bolt-torque", {"thread": "M9"}, "bolt-torque: thread is 'M9'; did you mean M8"),
        ("firing-frequency", {"rpm": 3000, "cycle": "wankel"}, "the choices are two-stroke, four-stroke"),
        ("premix", {"ratio": True, "fuel": 1}, "premix: ratio is True"),
        ("premix", {"ratio": "forty", "fuel": 1}, "'forty' cannot be read"),
        ("trapped-ratio", {"bore": 40, "stroke": 38, "clearance": 8}, "either port-height or trapped-share"),
        ("cranking-pressure", {"ratio": 7, "hose-volume": 2}, "needs displacement"),
    ],
)
def test_a_wrong_use_says_what_and_offers_the_nearest(
    name: str, arguments: dict[str, str | float], says: str
) -> None:
    with pytest.raises(FigureUsageError) as caught:
        compute(name, arguments)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("advance-to-travel", {"stroke": 100, "rod": 40, "angle": 20}),
        ("travel-to-advance", {"stroke": 40, "rod": 80, "travel": 41}),
        ("inertia-force", {"mass": 100, "stroke": 100, "rod": 40, "rpm": 3000}),
        ("natural-frequency", {"lower": 3600, "upper": 3000}),
        ("stiffness-by-added-mass", {"added": 50, "before": 50, "after": 60}),
        ("leak-down", {"supply": 5, "cylinder": 6}),
        ("crankcase-leak-rate", {"start": 0.3, "end": 0.4, "time": 1}),
        ("winding-resistance", {"resistance": 0.2, "lead-resistance": 0.3}),
        ("breakdown-voltage", {"gap": 0.005, "pressure": 0.05}),
    ],
)
def test_values_that_cannot_belong_together_are_refused(name: str, arguments: dict[str, float]) -> None:
    with pytest.raises(FigureRangeError, match=name):
        compute(name, arguments)


def test_figure_errors_are_errors_that_a_person_can_mend() -> None:
    assert issubclass(FigureError, KickoverError)


@given(st.sampled_from(NUMBERS), st.data())
def test_the_unit_in_which_a_value_is_given_changes_nothing(
    choice: tuple[Formula, Parameter], data: st.DataObject
) -> None:
    formula, parameter = choice
    arguments = middling(formula) | FITTING.get(formula.name, {})
    given_value = arguments.get(parameter.name)
    if not isinstance(given_value, Quantity):
        return
    unit = data.draw(st.sampled_from(known_units(parameter.dimension)))
    one = compute(formula.name, arguments)
    other = compute(formula.name, arguments | {parameter.name: given_value.to(unit)})
    for name, value in one.values.items():
        assert other.values[name].value == pytest.approx(value.value, rel=1e-9, abs=1e-9)


def test_text_numbers_and_quantities_are_the_same_to_a_formula() -> None:
    for fuel in ("5 L", "5", 5, 5.0, Quantity(5, "L"), Quantity(5000, "ml")):
        assert compute("premix", {"ratio": "50:1", "fuel": fuel}).value == Quantity(100, "ml")


@pytest.mark.parametrize("written", ["M10x1.0", "m10X1", "M10 × 1", "M10x1"])
def test_threads_are_read_as_people_write_them(written: str) -> None:
    assert compute("tap-drill", {"thread": written}).value == Quantity(9, "mm")


def test_a_coarse_thread_may_carry_its_pitch() -> None:
    assert compute("tap-drill", {"thread": "M8x1.25"}).value == compute("tap-drill", {"thread": "M8"}).value
