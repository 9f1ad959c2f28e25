"""Articles on two-stroke engines in journals for firemen, homesteads and woodland, and on a how-to site.

All seen; names left out.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("smokes", "premix-ratio=oily", "too much oil smokes and fouls the plug", "premix-too-oily"),
    seen("overheats", "premix-ratio=lean", "too little oil harms the engine", "premix-lean-in-oil"),
    seen("leaks-fuel", "hose-look=cracked", "fuel lines that alcohol has spoilt", "fuel-hose-cracked"),
    seen("starts-then-dies", "hose-feel=yes", "fuel lines that alcohol has made soft", "hose-swollen-inside"),
    seen("will-not-start", "hose-look=cracked", "hose off or leaking", "fuel-hose-cracked"),
    seen(
        "will-not-start",
        "plug-close-look=bridged",
        "carbon across the gap",
        "plug-gap-closed",
        "plug-fouled-carbon",
    ),
    seen("will-not-start", "plug-close-look=cracked", "porcelain cracked", "plug-insulator-cracked"),
    seen("no-power", "pulse-hold=leaks", "impulse hose leaks", "pulse-line-leaks"),
    seen("will-not-start", "pump-side-look=curled", "pump diaphragm stiff with age", "pump-diaphragm-worn"),
    seen("will-not-start", "metering-diaphragm-look=no", "diaphragm hardened", "metering-diaphragm-stiff"),
    seen(
        "will-not-start",
        "pump-side-look=blocked",
        "screen in the carburettor clogged",
        "inlet-screen-blocked",
    ),
    seen("will-not-idle", "mixture-screw-turns=far-in", "idle set too lean", "mixture-screw-off"),
    seen("will-not-start", "tries-with-choke=yes", "many pulls with the choke closed", "engine-flooded"),
    seen("will-not-start", "kill-switch-in-run=no", "switch in the stop position", "kill-switch-off"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
