"""US Army TM 5-4930-227-14, table 5-3: troubleshooting of the engine of a tank and pump unit.

Seen in a reproduction. The row on the oil pump is left out: such engines splash their oil or burn it.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row("will-not-start", "valve or its seat bad", "exhaust-valve-burnt", "intake-valve-leaks"),
    row("will-not-start", "weak compression", "rings-worn", "head-gasket-leaks", "rings-stuck"),
    row("smokes", "uses oil: rings worn or broken", "rings-worn", "ring-broken"),
    row("smokes", "uses oil: cylinder worn or scored", "piston-scored"),
    row("drive-noise", "knock: main or rod bearing", "main-bearings-worn", "big-end-worn"),
    row("drive-noise", "knock: loose or worn piston pin", "small-end-worn"),
    row("smokes", "smoke: piston or rings worn or damaged", "rings-worn", "rings-stuck"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
