"""Chain length by the formula of ISO 606 and ASME B29.1 (from memory), against cases worked by hand.

Equal sprockets need twice the centres and one sprocket's teeth, which is plain from the geometry.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.formulas.road import chain_links


def test_equal_sprockets_need_two_spans_and_one_sprocket() -> None:
    assert chain_links(20, 20, 30) == 80


def test_the_difference_of_the_sprockets_adds_a_little() -> None:
    # 2 x 40 + (10 + 44)/2 + (34/2pi)^2/40 = 107.732
    assert chain_links(10, 44, 40) == pytest.approx(107.732, abs=5e-4)
    links = compute("chain-length", {"front": 10, "rear": 44, "centres": "508 mm"}).value
    assert links.value == 108


def test_a_reduction_is_driven_teeth_over_driving_ones() -> None:
    assert compute(
        "sprocket-reduction", {"front": 10, "rear": 44, "primary": "4.1:1"}
    ).value.value == pytest.approx(18.04)
