"""Small Gas Engines, a school textbook of 2012, summary of the section on engine service (page 262).

Seen in a reproduction of the page.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row("will-not-start", "hard to start: blocked air cleaner", "air-filter-blocked"),
    row("no-power", "blocked air cleaner", "air-filter-blocked"),
    row("smokes", "the plug fouls: blocked air cleaner", "air-filter-blocked", "plug-fouled-carbon"),
    row("overheats", "cooling fins covered by dirt, leaves or grass", "fins-blocked"),
    row("hard-to-turn", "parts expand and seize", "piston-seized"),
    row("no-spark-seen", "plug wet with fuel or oil", "plug-fouled-wet", "plug-fouled-oil"),
    row("no-spark-seen", "insulation of the lead brittle or cracked", "lead-broken"),
    row("races", "cable or linkage binds", "throttle-cable-frayed"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
