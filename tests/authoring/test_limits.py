"""Limits in numbers: quantities, figures stated or assumed, formulas, and the edges between bands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kickover.core.ids import FigureId, TraitId
from kickover.model.library import FigureRef, FormulaRef, Library, Limit, Machine, Reading
from kickover.model.limits import LimitError, figure_of, resolve, resolved_bands
from kickover.units import Quantity, parse
from worlds.tiny_library import base_library

GOOD = FigureId("good-pressure")


@pytest.fixture
def library(tmp_path: Path) -> Library:
    return base_library(tmp_path)


@pytest.fixture
def moped(library: Library) -> Machine:
    return next(iter(library.machines.values()))


@pytest.fixture
def reading(library: Library) -> Reading:
    found = next(check.reading for check in library.checks.values() if check.reading)
    assert found is not None
    return found


def test_a_quantity_is_given_in_the_unit_of_the_reading(library: Library, moped: Machine) -> None:
    assert resolve(Limit(parse("100 kPa")), "bar", library, moped) == pytest.approx(1.0)


def test_times_and_plus_are_applied_in_this_order(library: Library, moped: Machine) -> None:
    assert resolve(Limit(parse("4 bar"), 2.0, parse("50 kPa")), "bar", library, moped) == pytest.approx(8.5)


def test_a_figure_is_the_one_that_the_machine_states(library: Library, moped: Machine) -> None:
    assert resolve(Limit(FigureRef(GOOD)), "bar", library, moped) == 8.0


def test_a_figure_that_is_not_stated_is_the_first_assumed_one_that_fits(
    library: Library, moped: Machine
) -> None:
    assert figure_of(library, replace(moped, figures={}), GOOD) == Quantity(7, "bar")


def test_a_figure_neither_stated_nor_assumed_is_named_with_the_machine(
    library: Library, moped: Machine
) -> None:
    bare = replace(library, figures={GOOD: replace(library.figures[GOOD], assumed=())})
    with pytest.raises(
        LimitError, match="moped states no good-pressure, and none is assumed for it"
    ) as raised:
        figure_of(bare, replace(moped, figures={}), GOOD)
    assert raised.value.machine.id == "moped"


def test_a_figure_that_does_not_exist_is_named(library: Library, moped: Machine) -> None:
    with pytest.raises(LimitError, match="there is no figure `compression`"):
        figure_of(library, moped, FigureId("compression"))


def test_a_formula_takes_figures_of_the_machine(library: Library, moped: Machine) -> None:
    """Atmosphere at sea level, ISO 2533: 1013.25 hPa."""
    limit = Limit(FormulaRef("air-pressure", {"altitude": Quantity(0, "m")}), 2.0)
    assert resolve(limit, "hPa", library, moped) == pytest.approx(2026.5)


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        (Limit(FormulaRef("air-presure", {})), "there is no formula 'air-presure'"),
        (Limit(FormulaRef("air-pressure", {"height": Quantity(0, "m")})), "air-pressure has no 'height'"),
        (Limit(FormulaRef("air-pressure", {"altitude": Quantity(99, "km")})), "altitude is 99 km"),
        (Limit(FormulaRef("air-pressure", {"altitude": Quantity(1, "bar")})), "altitude"),
        (Limit(parse("3 mm")), "3 mm is a length"),
        (Limit(parse("3 bar"), 1.0, parse("3 mm")), "3 mm is a length"),
    ],
    ids=["formula", "parameter", "range", "dimension", "unit", "unit added"],
)
def test_what_has_no_number_is_one_typed_error(
    library: Library, moped: Machine, limit: Limit, said: str
) -> None:
    with pytest.raises(LimitError, match=said):
        resolve(limit, "bar", library, moped)


def test_the_edges_of_bands_rise(library: Library, moped: Machine, reading: Reading) -> None:
    assert resolved_bands(reading, library, moped) == pytest.approx((6.4,))


def test_an_edge_outside_of_what_can_be_read_is_an_error(
    library: Library, moped: Machine, reading: Reading
) -> None:
    narrow = replace(reading, most=Quantity(6, "bar"))
    with pytest.raises(
        LimitError, match=r"on moped the limit above `low` is 6\.4 bar, outside 0 bar to 6 bar"
    ):
        resolved_bands(narrow, library, moped)


def test_edges_that_do_not_rise_are_an_error(library: Library, moped: Machine, reading: Reading) -> None:
    low, good = reading.bands
    bands = (low, replace(good, high=Limit(parse("5 bar"))), replace(good, low=Limit(parse("5 bar"))))
    with pytest.raises(LimitError, match="not above the one before"):
        resolved_bands(replace(reading, bands=bands), library, moped)


def test_the_traits_of_a_machine_choose_among_assumed_values(library: Library, moped: Machine) -> None:
    four_stroke = replace(moped, figures={}, traits=frozenset({TraitId("four-stroke")}))
    assert figure_of(library, four_stroke, GOOD) == Quantity(7, "bar")
