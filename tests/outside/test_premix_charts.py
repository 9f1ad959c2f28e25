"""Published fuel and oil mixing charts (seen, an owner's chart for two-stroke engines): oil by ratio.

The chart rounds 2.56 and 3.2 ounces to one decimal.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity

# Ratio, US fl oz in a US gallon, imperial fl oz in an imperial gallon, ml in a litre.
CHART = [(32, 4.0, 5.0, 31.25), (40, 3.2, 4.0, 25.0), (50, 2.6, 3.2, 20.0)]


@pytest.mark.parametrize(("ratio", "us", "imperial", "metric"), CHART)
def test_the_chart_is_met_in_all_three_measures(
    ratio: int, us: float, imperial: float, metric: float
) -> None:
    def oil(fuel: Quantity) -> Quantity:
        return compute("premix", {"ratio": ratio, "fuel": fuel}).value

    assert oil(Quantity(1, "US gal")).within("US fl oz") == pytest.approx(us, abs=0.05)
    assert oil(Quantity(1, "imp gal")).within("imp fl oz") == pytest.approx(imperial, abs=0.05)
    assert oil(Quantity(1, "L")).within("ml") == pytest.approx(metric)
    assert compute("premix", {"ratio": ratio, "fuel": 1}).values["oil-share"].within("ml/L") == pytest.approx(
        metric
    )


# Gallons of petrol at 50:1 and ounces of oil, seen in another chart.
@pytest.mark.parametrize(
    ("gallons", "ounces"), [(1, 2.6), (2, 5.1), (3, 7.7), (4, 10.2), (5, 12.8), (6, 15.4)]
)
def test_oil_grows_with_the_can(gallons: int, ounces: float) -> None:
    found = compute("premix", {"ratio": 50, "fuel": Quantity(gallons, "US gal")})
    assert found.value.within("US fl oz") == pytest.approx(ounces, abs=0.051)


def test_a_tank_of_two_mixtures_is_their_oil_over_their_petrol() -> None:
    """Arithmetic by hand, no source: 2.6 L at 25:1 hold 100 ml of oil, 5.1 L at 50:1 hold 100 ml as well."""
    mixed = compute("tank-mix", {"held": 2.6, "held-ratio": 25, "added": 5.1, "added-ratio": 50}).values
    assert mixed["oil"].value == pytest.approx(200)
    assert mixed["mixed-ratio"].value == pytest.approx(7500 / 200)


def test_the_mix_agrees_with_the_oil_to_add_for_it() -> None:
    oil = compute("premix-top-up", {"held": 2, "held-ratio": 25, "added": 3, "ratio": 32}).values["oil"].value
    after = compute("tank-mix", {"held": 2, "held-ratio": 25, "added": 3}).values["oil"].value + oil
    assert (5000 - 2000 / 26) / after == pytest.approx(32)
