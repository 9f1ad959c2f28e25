"""A utility engine's service manual, chapter on starting difficulties (seen; maker and model left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("will-not-start", "tank-and-tap=empty", "no gasoline in the tank", "tank-empty"),
    seen("will-not-start", "tank-and-tap=shut", "fuel cock closed", "tap-shut"),
    seen("will-not-start-cold", "choke-for-cold=no", "not choked enough when cold", "choke-not-used"),
    seen(
        "will-not-start",
        "bowl-drain=dry",
        "flow to the carburettor blocked",
        "tap-blocked",
        "tank-strainer-clogged",
    ),
    seen("will-not-start", "fuel-sample=water", "water in the gasoline", "water-in-fuel"),
    seen("will-not-start", "bowl-drain=dirty", "gum in the gasoline blocks the flow", "carburettor-gummed"),
    seen("will-not-start", "fuel-sample=stale", "poor gasoline does not turn to vapour", "fuel-stale"),
    seen("leaks-fuel", "leak-look=overflow", "needle valve held open by dirt", "float-needle-leaks"),
    seen(
        "will-not-start",
        "tap-on-bowl=stops-dripping",
        "overflow that ends by a light tap on the bowl",
        "float-needle-leaks",
    ),
    seen(
        "will-not-start",
        "plug-look=wet-fuel",
        "too rich to burn after an overflow",
        "float-needle-leaks",
        "engine-flooded",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
