"""Notes on the colour of sparks from a repair page, and two motorcycle magazines on how an engine stops.

All seen; names left out.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "no-spark-seen",
        "spark-at-spare-plug=none",
        "no spark: ignition, not fuel",
        "kill-switch-off",
        "kill-switch-shorted",
    ),
    seen(
        "will-not-start",
        "spark-at-spare-plug=weak+spark-with-extra-earth=returns",
        "thin white spark: earth of the coil",
        "engine-earth-poor",
    ),
    seen(
        "will-not-start",
        "spark-at-spare-plug=weak+points-look=burnt",
        "reddish spark: burnt points or condenser",
        "condenser-open",
    ),
    seen("will-not-start", "how-it-stopped=sudden", "it cuts dead at once: ignition", "kill-switch-shorted"),
    seen(
        "starts-then-dies",
        "how-it-stopped=faded",
        "it dies, picks up and dies: fuel",
        "tank-empty",
        "tap-shut",
    ),
    seen("no-power", "choke-response=better", "a touch of choke helps: lean", "main-jet-blocked"),
    seen(
        "will-not-start",
        "bowl-drain=dry+fuel-flow-at-line=good",
        "float needle stuck, no fuel in the bowl",
        "float-needle-stuck-shut",
    ),
    seen("starts-then-dies", "jets-look=main-blocked", "passages of the bowl plugged", "main-jet-blocked"),
    seen("no-spark-seen", "magnet-air-gap=wide", "armature gap wrong", "magnet-gap-wide"),
    seen(
        "no-spark-seen",
        "cut-out-switches-one-by-one=stand",
        "interlock at fault",
        "stand-switch-faulty",
        "stand-left-down",
    ),
    seen("no-spark-seen", "source-coil-resistance=open", "winding open", "source-coil-open"),
    seen("smokes", "smoke-colour=black", "black smoke: too rich", "air-filter-blocked", "choke-left-on"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
