"""VDI 2230 and the design handbooks after it: recommended engagement for class 8.8 bolts (from memory).

One diameter in structural steel, 1.1 to 1.4 in aluminium, for coarse threads, margins included.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute


@pytest.mark.parametrize("thread", ["M5", "M6", "M8", "M10"])
@pytest.mark.parametrize(
    ("part", "diameters"), [("steel", 1.0), ("wrought-aluminium", 1.1), ("cast-aluminium", 1.4)]
)
def test_the_length_given_is_never_below_the_recommended_one(
    thread: str, part: str, diameters: float
) -> None:
    found = compute("thread-engagement", {"thread": thread, "part": part})
    assert found.value.value >= diameters * float(thread[1:])


@pytest.mark.parametrize("thread", ["M5", "M6", "M8", "M10"])
def test_the_stripping_length_in_steel_is_below_the_recommendation_with_its_margin(thread: str) -> None:
    found = compute("thread-engagement", {"thread": thread, "part": "steel"})
    assert 0.5 < found.values["stripping-length"].value / float(thread[1:]) < 1.0
