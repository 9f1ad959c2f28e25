"""From what was answered to weights on findings."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from kickover.core.ids import CheckId, FindingId
from kickover.inference.soft_evidence import (
    Sureness,
    choice_weights,
    range_weights,
    reading_weights,
    standard_error,
)
from kickover.model.library import Library, Reading

EDGES = (5.0, 8.0)


@pytest.fixture(scope="module")
def gauge(tiny: Library) -> Reading:
    reading = tiny.checks[CheckId("compression")].reading
    assert reading is not None
    return reading


@pytest.mark.parametrize("sureness", list(Sureness))
def test_an_answer_weighs_one_in_all(tiny: Library, sureness: Sureness) -> None:
    weights = choice_weights(tiny.checks[CheckId("spark-at-plug")], FindingId("none"), sureness)
    assert sum(weights) == pytest.approx(1.0)
    assert max(weights) == weights[1]


@given(value=st.floats(0.1, 20.0))
def test_a_reading_is_spread_by_the_normal_error_of_its_instrument(gauge: Reading, value: float) -> None:
    """Reference: the normal distribution of scipy; the gauge's error is 5 % of the reading."""
    error = norm(loc=value, scale=0.05 * value)
    expected = (error.cdf(5.0), error.cdf(8.0) - error.cdf(5.0), 1.0 - error.cdf(8.0))
    assert reading_weights(gauge, EDGES, value) == pytest.approx(expected, abs=1e-12)


def test_a_reading_on_the_limit_is_shared_by_both_bands(gauge: Reading) -> None:
    low, middle, high = reading_weights(gauge, EDGES, 5.0)
    assert low == pytest.approx(0.5)
    assert middle == pytest.approx(0.5)
    assert high == pytest.approx(0.0, abs=1e-9)


def test_readings_that_agree_are_trusted_more_but_never_without_bound(gauge: Reading) -> None:
    once, often, forever = (reading_weights(gauge, EDGES, 4.8, repeats)[0] for repeats in (1, 4, 10**9))
    assert once < often < forever < 0.9


@given(low=st.floats(0.5, 10.0), width=st.floats(0.0, 6.0))
def test_a_range_lies_between_its_ends(gauge: Reading, low: float, width: float) -> None:
    weights = range_weights(gauge, EDGES, low, low + width)
    assert sum(weights) == pytest.approx(1.0)
    share_low = [reading_weights(gauge, EDGES, value)[0] for value in (low, low + width)]
    assert min(share_low) - 1e-9 <= weights[0] <= max(share_low) + 1e-9


def test_the_error_of_an_instrument_grows_with_the_reading(gauge: Reading) -> None:
    assert standard_error(gauge, 10.0) == pytest.approx(0.5)
