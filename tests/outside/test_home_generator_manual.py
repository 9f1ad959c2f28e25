"""The trouble table of a home generator's owner's manual (seen; maker and model left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("will-not-start", "fuse-look=no", "it will not crank: fuse blown", "ignition-fuse-blown"),
    seen(
        "will-not-start",
        "battery-terminals-tug=yes",
        "it will not crank: cables loose or corroded",
        "battery-terminal-loose",
    ),
    seen("will-not-start", "battery-volts-at-rest=flat", "it will not crank: battery dead", "battery-flat"),
    seen("will-not-start", "tank-and-tap=empty", "cranks, no start: out of fuel", "tank-empty"),
    seen("will-not-start", "plug-look=black-soot", "cranks, no start: plug fouled", "plug-fouled-carbon"),
    seen(
        "will-not-start", "choke-look=stays-open", "cranks, no start: choke does not work", "choke-stuck-open"
    ),
    seen(
        "runs-rough",
        "air-filter-look=clogged",
        "starts hard and runs rough: air cleaner plugged",
        "air-filter-blocked",
    ),
    seen(
        "runs-rough", "plug-look=black-soot", "starts hard and runs rough: plug fouled", "plug-fouled-carbon"
    ),
    seen(
        "runs-rough",
        "choke-look=stays-shut",
        "starts hard and runs rough: choke stays closed",
        "choke-stuck-closed",
    ),
    seen(
        "will-not-stop",
        "stop-switch-contacts-resistance=open",
        "runs on at OFF: switch faulty",
        "stop-switch-does-not-close",
    ),
    seen(
        "will-not-stop",
        "switch-bridge-look=yes",
        "runs on at OFF: switch wired wrongly",
        "stop-switch-bridged",
    ),
    seen(
        "will-not-stop",
        "stop-lead-joined-look=parted",
        "runs on at OFF: switch wired wrongly",
        "stop-wire-parted",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
