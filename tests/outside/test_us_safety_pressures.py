"""29 CFR 1910.242(b): compressed air for cleaning below 30 psi, which is 2.07 bar (seen); and a US Army
technical manual's leak-down supply of 50 to 100 psi, given there as 0.35 to 0.69 MPa (seen)."""

from __future__ import annotations

import pytest

from kickover.units import Quantity, parse_range, show


def test_thirty_psi_is_two_bar() -> None:
    assert Quantity(30, "psi").within("bar") == pytest.approx(2.07, abs=0.005)
    assert show(Quantity(30, "psi")) == "2.07 bar (30 psi)"


def test_the_leak_down_supply_is_the_same_in_both_units() -> None:
    low, high = parse_range("50 to 100 psi")
    assert low.within("MPa") == pytest.approx(0.35, abs=0.006)
    assert high.within("MPa") == pytest.approx(0.69, abs=0.001)
