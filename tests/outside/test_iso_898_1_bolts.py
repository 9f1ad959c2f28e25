"""ISO 898-1, bolts, screws and studs: stress areas, proof loads and minimum ultimate tensile loads.

The coarse-thread tables were seen in two reproductions of EN ISO 898-1; fine threads are from memory.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9", "12.9")

# Thread, stress area in mm², proof loads in N in the order of CLASSES.
PROOF_LOADS = {
    "M3": (5.03, 1130, 1560, 1410, 1910, 2210, 2920, 4180, 4880),
    "M4": (8.78, 1980, 2720, 2460, 3340, 3860, 5100, 7290, 8520),
    "M5": (14.2, 3200, 4400, 3980, 5400, 6250, 8230, 11800, 13800),
    "M6": (20.1, 4520, 6230, 5630, 7640, 8840, 11600, 16700, 19500),
    "M7": (28.9, 6500, 8960, 8090, 11000, 12700, 16800, 24000, 28000),
    "M8": (36.6, 8240, 11400, 10200, 13900, 16100, 21200, 30400, 35500),
    "M10": (58.0, 13000, 18000, 16200, 22000, 25500, 33700, 48100, 56300),
    "M12": (84.3, 19000, 26100, 23600, 32000, 37100, 48900, 70000, 81800),
    "M14": (115, 25900, 35600, 32200, 43700, 50600, 66700, 95500, 112000),
    "M16": (157, 35300, 48700, 44000, 59700, 69100, 91000, 130000, 152000),
}
# Thread, minimum ultimate tensile loads in N.
TENSILE_LOADS = {
    "M5": (5680, 5960, 7100, 7380, 8520, 11350, 14800, 17300),
    "M6": (8040, 8440, 10000, 10400, 12100, 16100, 20900, 24500),
    "M8": (14600, 15400, 18300, 19000, 22000, 29200, 38100, 44600),
    "M10": (23200, 24400, 29000, 30200, 34800, 46400, 60300, 70800),
}
# Fine threads, class 8.8 proof loads in N (from memory).
FINE_PROOF_LOADS = {"M8x1": 22700, "M10x1": 37400, "M10x1.25": 35500, "M12x1.25": 53400, "M12x1.5": 51100}


@pytest.mark.parametrize("thread", PROOF_LOADS)
def test_proof_loads_are_as_tabled(thread: str) -> None:
    for grade, load in zip(CLASSES, PROOF_LOADS[thread][1:], strict=True):
        found = compute("bolt-preload", {"thread": thread, "class": grade}).values["proof-load"]
        assert found.value == pytest.approx(load, rel=6e-3), grade


@pytest.mark.parametrize("thread", TENSILE_LOADS)
def test_tensile_loads_are_as_tabled(thread: str) -> None:
    for grade, load in zip(CLASSES, TENSILE_LOADS[thread], strict=True):
        found = compute("bolt-preload", {"thread": thread, "class": grade}).values["tensile-load"]
        assert found.value == pytest.approx(load, rel=6e-3), grade


@pytest.mark.parametrize(("thread", "load"), FINE_PROOF_LOADS.items())
def test_proof_loads_of_fine_threads_are_as_tabled(thread: str, load: int) -> None:
    found = compute("bolt-preload", {"thread": thread, "class": "8.8"}).values["proof-load"]
    assert found.value == pytest.approx(load, rel=6e-3)


def test_the_preload_is_the_stated_share_of_the_proof_load() -> None:
    assert compute("bolt-preload", {"thread": "M8", "share": "75 %"}).value.value == pytest.approx(
        15_900, rel=6e-3
    )
