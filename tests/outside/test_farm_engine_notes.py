"""A farm paper's page on small engines that are hard to start (seen; names left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "will-not-start",
        "flow-with-cap-open=yes",
        "starts with the cap off: vent plugged",
        "tank-vent-blocked",
    ),
    seen("will-not-start", "air-filter-look=clogged", "air filter clogged", "air-filter-blocked"),
    seen("will-not-start", "fuel-flow-at-line=low", "fuel line partly plugged", "fuel-hose-kinked"),
    seen("will-not-start", "plug-look=soot", "plug fouled", "plug-fouled-carbon"),
    seen("will-not-start", "plug-close-look=worn-wide", "electrodes of the plug worn", "plug-gap-wide"),
    seen("will-not-start", "cap-and-lead-look=tracked", "plug lead worn through", "lead-leaking"),
    seen(
        "will-not-start-cold",
        "choke-look=stays-open",
        "cold, and the choke does not close",
        "choke-stuck-open",
    ),
    seen("will-not-start-hot", "tries-with-choke=yes", "choked while warm: flooded", "engine-flooded"),
    seen(
        "will-not-start-after-storage",
        "bowl-drain=water",
        "water after a winter with fuel in it",
        "water-in-fuel",
    ),
    seen(
        "will-not-start",
        "spark-with-kill-lead-off=returns",
        "stop switch earths the spark by itself",
        "kill-switch-shorted",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
