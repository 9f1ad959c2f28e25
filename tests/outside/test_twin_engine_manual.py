"""A small twin's service manual, lists of "starts hard" and "loses power" (seen; maker left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "will-not-start", "plug-close-look=cracked", "starts hard: plug defective", "plug-insulator-cracked"
    ),
    seen("will-not-start", "points-look=burnt", "starts hard: points pitted", "condenser-open"),
    seen("will-not-start", "points-gap-size=small", "starts hard: points worn", "points-closed-up"),
    seen(
        "will-not-start",
        "ignition-connectors-look=green",
        "starts hard: loose wires or connections",
        "ignition-connector-corroded",
    ),
    seen(
        "will-not-start",
        "flow-with-cap-open=yes",
        "starts hard: fuel tank vent restricted",
        "tank-vent-blocked",
    ),
    seen(
        "will-not-start",
        "fuel-flow-at-line=low",
        "starts hard: fuel line restricted",
        "fuel-hose-kinked",
        "tank-strainer-clogged",
    ),
    seen(
        "will-not-start", "throttle-snap=limp", "starts hard: throttle cable broken", "throttle-cable-broken"
    ),
    seen("will-not-start", "choke-look=stays-open", "starts hard: choke cable broken", "choke-stuck-open"),
    seen("will-not-start", "fuel-sample=water", "starts hard: dirt or water in the fuel", "water-in-fuel"),
    seen("will-not-idle", "mixture-screw-turns=far-in", "carburettor badly adjusted", "mixture-screw-off"),
    seen("no-power", "air-filter-look=clogged", "loses power: air filter restricted", "air-filter-blocked"),
    seen("no-power", "fuel-sample=water", "loses power: dirt or water in the fuel", "water-in-fuel"),
    seen("no-power", "plug-close-look=worn-wide", "loses power: plug defective", "plug-gap-wide"),
    seen(
        "no-power",
        "cap-and-lead-look=lead-loose",
        "loses power: plug lead loose",
        "lead-loose-in-cap",
        "lead-broken",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
