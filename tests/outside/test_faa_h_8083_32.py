"""FAA-H-8083-32, Aviation Maintenance Technician Handbook, Powerplant, volume 2: the table of reciprocating
engine troubles in the chapter on engine maintenance and operation.

The rows of "fails to start" and of "fails to idle" were seen in a reproduction, the others are from memory.
Left out are rows on parts that such engines do not have: impulse coupling, propeller governor, oil cooler.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

FAILS_TO_START = (
    row("will-not-start", "no fuel, dirty lines or strainers", "tank-empty", "tank-strainer-clogged"),
    row("will-not-start", "primed too little", "choke-not-used", "primer-not-used"),
    row("will-not-start", "primed too much", "engine-flooded"),
    row("will-not-start", "bad plugs", "plug-fouled-carbon", "plug-insulator-cracked", "plug-gap-wide"),
    row("will-not-start", "bad ignition lead", "lead-broken", "lead-leaking"),
    row("will-not-start", "weak battery", "battery-flat"),
    row(
        "will-not-start",
        "magneto or contact points",
        "points-dirty",
        "points-closed-up",
        "timing-plate-moved",
    ),
    row("will-not-start", "water in the carburettor", "water-in-fuel"),
    row("will-not-start", "something broken inside", "rod-broken", "bearing-seized"),
    row("will-not-start", "iced or wet plug electrodes", "plug-fouled-wet"),
    row("will-not-start", "a control that shuts the fuel off", "tap-shut"),
    row("will-not-start", "shorted switch or loose earth", "kill-switch-shorted", "engine-earth-poor"),
)

FAILS_TO_IDLE = (
    row("will-not-idle", "idle speed set wrong", "idle-speed-low"),
    row("will-not-idle", "idle mixture wrong", "mixture-screw-off"),
    row("will-not-idle", "leak in the intake", "intake-gasket-leaks", "carburettor-loose"),
    row("will-not-idle", "low compression", "rings-worn", "exhaust-valve-burnt"),
    row("will-not-idle", "faulty ignition", "plug-fouled-carbon", "points-dirty"),
    row("will-not-idle", "wrong plug gap", "plug-gap-wide"),
    row("will-not-idle", "dirty air filter", "air-filter-blocked"),
)

RUNS_UNEVENLY_OR_WEAKLY = (
    row("no-power", "mixture too rich", "air-filter-blocked", "jets-rich-for-height", "float-level-high"),
    row("smokes", "mixture too rich", "air-filter-blocked", "jets-rich-for-height", "float-level-high"),
    row("overheats", "mixture too lean", "jets-lean-for-engine", "main-jet-blocked"),
    row("backfires", "mixture too lean", "jets-lean-for-engine", "main-jet-blocked"),
    row("no-power", "leak in the intake", "intake-gasket-leaks", "flange-warped"),
    row("no-power", "bad plugs", "plug-fouled-carbon", "plug-insulator-cracked"),
    row("no-power", "wrong grade of fuel", "wrong-fuel", "fuel-stale"),
    row("no-power", "contact points", "points-dirty", "points-closed-up"),
    row("no-power", "bad ignition lead", "lead-leaking", "lead-broken"),
    row("no-power", "bad joint of lead and plug", "lead-loose-in-cap", "plug-cap-tracking"),
    row("no-power", "wrong valve clearance", "exhaust-valve-tight", "valve-clearance-wide"),
    row("no-power", "choked exhaust", "silencer-blocked", "exhaust-port-carboned"),
    row("no-power", "wrong timing", "flywheel-key-sheared", "timing-plate-moved"),
    row("no-power", "throttle linkage out of adjustment", "throttle-cable-slack"),
)

RUNS_ROUGHLY = (
    row("vibrates", "cracked engine mount", "mount-bracket-cracked"),
    row("vibrates", "something that spins out of balance", "flywheel-out-of-balance"),
    row("vibrates", "worn mounting rubbers", "mount-rubber-perished"),
    row("vibrates", "deposits on the plug", "plug-fouled-carbon"),
)

OIL_AND_HEAT = (
    row("overheats", "too little cooling air", "fins-blocked", "fan-broken"),
    row("overheats", "too little oil", "oil-level-low"),
    row("smokes", "worn or broken rings", "rings-worn", "ring-broken"),
    row("smokes", "oil thrown out by the breather", "breather-blocked"),
)


@pytest.mark.parametrize(
    "line", FAILS_TO_START + FAILS_TO_IDLE + RUNS_UNEVENLY_OR_WEAKLY + RUNS_ROUGHLY + OIL_AND_HEAT, ids=str
)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
