"""Stopping distances: The Highway Code (UK), rule 126, typical stopping distances (from memory).

The code prints whole metres for thinking and braking; the defaults of the formula are chosen after it.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

# miles per hour: thinking distance, braking distance, both in metres
RULE_126 = {20: (6, 6), 30: (9, 14), 40: (12, 24), 50: (15, 38), 60: (18, 55)}


@pytest.mark.parametrize("mph", RULE_126)
def test_the_distances_are_those_of_the_code_to_a_metre(mph: int) -> None:
    values = compute("stopping-distance", {"speed": f"{mph} mph"}).values
    thinking, braking = RULE_126[mph]
    assert values["before-braking"].value == pytest.approx(thinking, abs=1.0)
    assert values["braking"].value == pytest.approx(braking, abs=1.0)
