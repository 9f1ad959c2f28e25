"""Repairing in the best order, without checks."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.inference.hypotheses import Floats
from kickover.planning.repair_order import best_sequence, least_repairing, repairing

masses = st.lists(st.floats(0.01, 1.0), min_size=1, max_size=5)
minutes = st.floats(0.5, 60.0)


def played(
    order: tuple[int, ...], mass: Floats, first: Floats, later: Floats, rest: float, give_up: float
) -> float:
    """Making the repairs in this order and giving up after the last, summed step by step."""
    left = float(mass.sum()) + rest
    spent = 0.0
    for place, repair in enumerate(order):
        spent += (first if place == 0 else later)[repair] * left
        left -= mass[repair]
    return spent + left * give_up


def all_orders(count: int) -> list[tuple[int, ...]]:
    return [order for size in range(count + 1) for order in permutations(range(count), size)]


@given(masses, st.floats(0.0, 0.5), st.floats(1.0, 200.0), st.data())
def test_no_order_with_any_end_is_better(
    mass: list[float], rest: float, give_up: float, data: st.DataObject
) -> None:
    costs = np.array([data.draw(minutes) for _ in mass])
    weights = np.array(mass)
    found = best_sequence(weights, costs, rest, give_up)
    tried = [played(order, weights, costs, costs, rest, give_up) for order in all_orders(len(mass))]
    assert found.minutes == pytest.approx(min(tried))
    assert played(found.order, weights, costs, costs, rest, give_up) == pytest.approx(found.minutes)


@given(masses, st.floats(0.0, 0.5), st.floats(1.0, 200.0), st.data())
def test_a_first_repair_is_worth_a_plan_that_can_be_carried_out(
    mass: list[float], rest: float, give_up: float, data: st.DataObject
) -> None:
    later = np.array([data.draw(minutes) for _ in mass])
    now = np.array([data.draw(minutes) for _ in mass])
    weights = np.array(mass)
    value = repairing(weights[None], now[None], later, np.array([rest]), give_up)
    orders = all_orders(len(mass))
    for repair in range(len(mass)):
        starting = [order for order in orders if order[:1] == (repair,)]
        best = min(played(order, weights, now, later, rest, give_up) for order in starting)
        assert value.first[0, repair] >= best - 1e-9
    assert value.best[0] <= give_up * (weights.sum() + rest) + 1e-9


@given(masses, st.floats(0.0, 0.5), st.floats(1.0, 200.0), st.data())
def test_the_same_minutes_now_and_later_make_it_the_best_order(
    mass: list[float], rest: float, give_up: float, data: st.DataObject
) -> None:
    costs = np.array([data.draw(minutes) for _ in mass])
    weights = np.array(mass)
    value = repairing(weights[None], costs[None], costs, np.array([rest]), give_up)
    assert value.best[0] == pytest.approx(best_sequence(weights, costs, rest, give_up).minutes)
    assert value.best == pytest.approx(
        least_repairing(weights[None], costs[None], costs, np.array([rest]), give_up)
    )


def test_nothing_to_repair_is_given_up_at_once() -> None:
    nothing = np.zeros((1, 0))
    assert repairing(nothing, nothing, np.zeros(0), np.array([0.5]), 30.0).best == pytest.approx([15.0])
    assert best_sequence(np.array([0.4]), np.array([50.0]), 0.6, 45.0).order == ()
