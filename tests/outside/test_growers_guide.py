"""A growers' guide to small engines that start hard (seen; name left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "starts-then-dies", "hiss-at-cap=yes", "it runs with the cap off: vent plugged", "tank-vent-blocked"
    ),
    seen(
        "will-not-start",
        "flow-with-cap-open=yes",
        "it starts with the cap off: vent plugged",
        "tank-vent-blocked",
    ),
    seen(
        "no-power",
        "without-filter=better",
        "it runs without its filter: filter clogged",
        "air-filter-blocked",
    ),
    seen(
        "will-not-start",
        "fuel-flow-at-line=low",
        "fuel line partly plugged",
        "tank-strainer-clogged",
        "fuel-filter-clogged",
    ),
    seen("will-not-start", "plug-look=black-soot", "plug fouled", "plug-fouled-carbon"),
    seen("no-power", "sparks-in-the-dark=lead", "plug wire worn, a short", "lead-leaking"),
    seen("will-not-start", "choke-look=stays-open", "choke does not close", "choke-stuck-open"),
    seen(
        "will-not-start-hot",
        "choke-off-now=no",
        "choke closed on a warm engine",
        "choke-left-on",
        "engine-flooded",
    ),
    seen(
        "will-not-start-after-storage",
        "bowl-drain=water",
        "water in fuel that stood over winter",
        "water-in-fuel",
    ),
    seen(
        "no-spark-seen",
        "spark-with-kill-lead-off=returns",
        "stop switch closed, found by parting its wire",
        "kill-switch-shorted",
        "kill-switch-off",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
