"""A list of outboard motor troubles that two boating sites print alike (seen; names left out).

Rows on propeller, gearcase and water pump are left out.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("will-not-start", "tank-and-tap=empty", "tank empty", "tank-empty"),
    seen("will-not-start", "breather-look=shut", "air vent of the tank not open", "breather-shut"),
    seen("will-not-start", "hose-look=kinked", "fuel lines kinked or pinched", "fuel-hose-kinked"),
    seen("will-not-start", "fuel-sample=water", "water in the fuel", "water-in-fuel"),
    seen(
        "will-not-start",
        "bowl-drain=dirty",
        "dirt in the fuel system",
        "carburettor-gummed",
    ),
    seen("will-not-start", "line-filter-look=no", "fuel filter clogged", "fuel-filter-clogged"),
    seen("will-not-start", "pump-side-look=blocked", "screens clogged", "inlet-screen-blocked"),
    seen("will-not-start-cold", "choke-for-cold=no", "not choked to start", "choke-not-used"),
    seen("will-not-start", "primer-drill=no", "not primed", "primer-not-used"),
    seen(
        "will-not-start",
        "jets-look=idle-blocked",
        "carburettor gives too little fuel to start",
        "idle-passages-blocked",
    ),
    seen("will-not-start", "timing-marks-look=no", "timing out of adjustment", "timing-plate-moved"),
    seen("will-not-start", "choke-look=stays-open", "choke linkage bent", "choke-stuck-open"),
    seen("will-not-start", "choke-unit-warm=no", "automatic choke out of adjustment", "automatic-choke-dead"),
    seen("will-not-start", "plug-gap-size=wide", "plug gap wrong", "plug-gap-wide"),
    seen("will-not-start", "plug-look=black-soot", "plugs dirty", "plug-fouled-carbon"),
    seen("will-not-start", "plug-close-look=cracked", "plugs broken", "plug-insulator-cracked"),
    seen(
        "will-not-start", "primer-squeeze=bubbles", "primer of the tank does not work", "primer-bulb-cracked"
    ),
    seen("will-not-start", "points-gap-size=small", "points gap wrong", "points-closed-up"),
    seen("will-not-start", "points-look=dirty", "points dirty", "points-dirty"),
    seen("will-not-start", "points-look=burnt", "points burnt", "condenser-open"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
