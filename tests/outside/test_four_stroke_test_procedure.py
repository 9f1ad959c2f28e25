"""A four-stroke's service manual, its procedure for testing the ignition (seen; maker left out).

The gap of the plug is left out: it is set there before the test begins.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("no-spark-seen", "plug-close-look=cracked", "cracks in the porcelain", "plug-insulator-cracked"),
    seen("no-spark-seen", "plug-look=black-soot", "too much carbon on the plug", "plug-fouled-carbon"),
    seen(
        "no-spark-seen",
        "spark-with-kill-lead-off=returns+kill-switch-in-run=no",
        "spark with the lead off: ignition switch",
        "kill-switch-off",
        "kill-switch-shorted",
    ),
    seen(
        "no-spark-seen",
        "spark-with-kill-lead-off=returns+stop-wire-look=chafed",
        "spark with the lead off: wiring to the frame",
        "kill-wire-chafed",
    ),
    seen(
        "no-spark-seen",
        "spark-with-kill-lead-off=returns+cut-out-switches-one-by-one=oil",
        "spark with the lead off: oil shut-down switch",
        "oil-low-cut-out",
        "oil-switch-faulty",
    ),
    seen(
        "no-spark-seen",
        "spark-with-kill-lead-off=returns+cut-out-switches-one-by-one=stand",
        "spark with the lead off: safety interlock",
        "stand-switch-faulty",
    ),
    seen("no-spark-seen", "magnet-air-gap=wide", "gap between magnets and laminations", "magnet-gap-wide"),
    seen("no-spark-seen", "magnet-pull=no", "magnets do not draw a screwdriver", "magnets-lost"),
    seen("no-power", "points-look=burnt", "contact points pitted: the condenser", "condenser-open"),
    seen("no-spark-seen", "points-look=dirty", "points coated with oil", "points-dirty"),
    seen("runs-rough", "points-gap-size=small", "points badly set", "points-closed-up"),
    seen(
        "no-spark-seen",
        "coil-secondary-resistance=open",
        "coil and lamination assembly",
        "coil-secondary-open",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
