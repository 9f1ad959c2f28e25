"""FAA-H-8083-3, Airplane Flying Handbook, chapter 16: the table of malfunctions.

Seen in a reproduction. Rows on propeller governor, turbocharger, cowl flaps and instruments are left out.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row("no-power", "speed falls off: ice in the carburettor", "carburettor-ices"),
    row("no-power", "speed falls off: blocked air filter", "air-filter-blocked"),
    row("bogs", "runs roughly: mixture setting", "jets-rich-for-height", "jets-lean-for-engine"),
    row("vibrates", "runs roughly: ignition", "plug-fouled-carbon", "points-dirty"),
    row("no-power", "runs roughly: valves", "exhaust-valve-burnt", "valve-spring-weak"),
    row("bogs", "runs roughly: air leak in the intake", "intake-gasket-leaks", "carburettor-loose"),
    row("bogs", "runs roughly: blocked nozzle", "main-jet-blocked"),
    row("overheats", "hot head: too little cooling air for the load", "worked-too-hard", "fins-blocked"),
    row("overheats", "hot head: mixture", "jets-lean-for-engine"),
    row("overheats", "hot head: knock or glow", "carbon-in-head", "plug-too-hot"),
    row("starts-then-dies", "fuel gives out: pump failed", "fuel-pump-worn"),
    row("starts-then-dies", "fuel gives out: tank empty", "tank-empty"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
