from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.documents.shapes import Symbol, outline, svg_path, warning_triangle

sizes = st.floats(20, 300)


@given(st.sampled_from(list(Symbol)), sizes, sizes)
def test_each_symbol_fills_its_box(symbol: Symbol, width: float, height: float) -> None:
    across = [x for x, _ in outline(symbol, width, height).points()]
    down = [y for _, y in outline(symbol, width, height).points()]
    assert (min(across), max(across)) == pytest.approx((0, width))
    assert min(down) == pytest.approx(0)
    assert height * 0.8 <= max(down) <= height + 1e-9


# ISO 5807: a decision is a rhombus, a process a rectangle, a manual operation narrows downwards, a
# terminator has two round ends (from memory).
def test_the_symbols_have_the_corners_of_the_standard() -> None:
    assert outline(Symbol.DECISION, 40, 20).points() == ((20, 0), (40, 10), (20, 20), (0, 10))
    assert outline(Symbol.PROCESS, 40, 20).points() == ((0, 0), (40, 0), (40, 20), (0, 20))
    top_left, top_right, foot_right, foot_left = outline(Symbol.MANUAL, 80, 20).points()
    assert top_right[0] - top_left[0] > foot_right[0] - foot_left[0]
    assert sum(1 for move in outline(Symbol.TERMINATOR, 40, 20).moves if move.handles) == 4


# ISO 7010 W001 is an upright triangle of equal sides with an exclamation mark (ISO 3864-1; from memory).
def test_the_warning_sign_is_an_upright_triangle_of_equal_sides() -> None:
    edge = warning_triangle(100).edge
    across = [x for x, _ in edge.points()]
    down = [y for _, y in edge.points()]
    assert (max(down) - min(down)) / (max(across) - min(across)) == pytest.approx(math.sqrt(3) / 2, abs=0.06)
    top = min(edge.points(), key=lambda point: point[1])
    assert top[0] == pytest.approx(50, abs=5)


def test_the_mark_stands_inside_the_warning_sign() -> None:
    sign = warning_triangle(100)
    for x, y in (*sign.bar.points(), *sign.dot.points()):
        assert abs(x - 50) < y / 88 * 50 - 5
        assert y < 85


def test_an_outline_reads_as_an_svg_path() -> None:
    assert svg_path(outline(Symbol.PROCESS, 4, 2)) == "M0.00 0.00L4.00 0.00L4.00 2.00L0.00 2.00Z"
