"""A service manual of a four-stroke utility engine, maker's name left out: "loses power", "knocks" and
"uses too much oil".

Seen. The rows on governor and hydraulic valve lifters are left out.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row("no-power", "oil low, so that it gets hot", "oil-level-low"),
    row("smokes", "oil too high", "oil-overfull"),
    row("no-power", "dirty air cleaner", "air-filter-blocked"),
    row("no-power", "dirt or water in the fuel", "water-in-fuel", "main-jet-blocked", "fuel-filter-clogged"),
    row("overheats", "too much load", "worked-too-hard"),
    row("no-power", "overheated", "fins-blocked", "fan-broken"),
    row("no-power", "faulty plug", "plug-fouled-carbon", "plug-gap-wide"),
    row("no-power", "low compression", "rings-worn", "head-gasket-leaks"),
    row("no-power", "exhaust restriction", "silencer-blocked"),
    row("drive-noise", "knocks: oil low", "oil-level-low"),
    row("drive-noise", "knocks: worn inside", "big-end-worn", "main-bearings-worn"),
    row("smokes", "uses oil: breather blocked", "breather-blocked"),
    row("smokes", "uses oil: rings or bore", "rings-worn", "ring-broken"),
    row("smokes", "uses oil: valve stems or guides", "valve-stem-seals-worn"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
