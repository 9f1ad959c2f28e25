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
