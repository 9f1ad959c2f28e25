"""A web FAQ on repair, chapter on small gasoline engines, its chart of troubles (seen; names left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("will-not-start", "tank-and-tap=empty", "tank empty", "tank-empty"),
    seen("will-not-start", "tank-and-tap=shut", "shut-off valve closed", "tap-shut"),
    seen(
        "will-not-start",
        "fuel-flow-at-line=low",
        "fuel line clogged",
        "tank-strainer-clogged",
        "fuel-hose-kinked",
    ),
    seen("will-not-start", "breather-look=dirty", "vent of the tank cap clogged", "tank-vent-blocked"),
    seen("will-not-start", "bowl-drain=water", "water in the fuel", "water-in-fuel"),
    seen("will-not-start", "tries-with-choke=yes", "choked too much", "engine-flooded"),
    seen("will-not-start", "look-round-first=switched-off", "ignition switch off", "kill-switch-off"),
    seen(
        "will-not-start",
        "spark-with-kill-lead-off=returns",
        "wiring of the stop circuit at fault",
        "kill-switch-shorted",
        "kill-wire-chafed",
    ),
    seen("will-not-start", "key-and-stand-look=no", "a cut-off switch holds it off", "stand-left-down"),
    seen("will-not-start", "plug-look=wet-fuel", "plug fouled", "plug-fouled-wet"),
    seen("will-not-start", "plug-gap-size=closed", "plug badly gapped", "plug-gap-closed"),
    seen("starts-then-dies", "tank-and-tap=empty", "dies after seconds: tank empty", "tank-empty"),
    seen("starts-then-dies", "tank-and-tap=shut", "dies after seconds: valve closed", "tap-shut"),
    seen("starts-then-dies", "hiss-at-cap=yes", "dies after seconds: cap vent clogged", "tank-vent-blocked"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
