"""Published 0/1 knapsack problems, solved by the packing program: one item a goal.

The first is the task "Knapsack problem/0-1" of Rosetta Code: its table of items was read in a public
restatement of the page; the optimum of 1030 at 396 dag is from memory. The others are instances p01 to p07 of
the data set KNAPSACK_01 of John Burkardt, Florida State University, after Martello and Toth (1990) and
Kreher and Stinson (1999); numbers and optima from memory, each optimum confirmed by dynamic programming.
"""

from __future__ import annotations

import pytest

from kickover.packing.knapsack import Capacity, Goal, best_pack

TOURIST = {
    "map": (9, 150),
    "compass": (13, 35),
    "water": (153, 200),
    "sandwich": (50, 160),
    "glucose": (15, 60),
    "tin": (68, 45),
    "banana": (27, 60),
    "apple": (39, 40),
    "cheese": (23, 30),
    "beer": (52, 10),
    "suntan cream": (11, 70),
    "camera": (32, 30),
    "T-shirt": (24, 15),
    "trousers": (48, 10),
    "umbrella": (73, 40),
    "waterproof trousers": (42, 70),
    "waterproof overclothes": (43, 75),
    "note-case": (22, 80),
    "sunglasses": (7, 20),
    "towel": (18, 12),
    "socks": (4, 50),
    "book": (30, 10),
}

INSTANCES = {
    "p01": (165, [23, 31, 29, 44, 53, 38, 63, 85, 89, 82], [92, 57, 49, 68, 60, 43, 67, 84, 87, 72], 309),
    "p02": (26, [12, 7, 11, 8, 9], [24, 13, 23, 15, 16], 51),
    "p03": (190, [56, 59, 80, 64, 75, 17], [50, 50, 64, 46, 50, 5], 150),
    "p04": (50, [31, 10, 20, 19, 4, 3, 6], [70, 20, 39, 37, 7, 5, 10], 107),
    "p05": (104, [25, 35, 45, 5, 25, 3, 2, 2], [350, 400, 450, 20, 70, 8, 5, 5], 900),
    "p06": (170, [41, 50, 49, 59, 55, 57, 60], [442, 525, 511, 593, 546, 564, 617], 1735),
    "p07": (
        750,
        [70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120],
        [135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240],
        1458,
    ),
}


def by_table(most: int, weights: list[int], profits: list[int]) -> int:
    best = [0] * (most + 1)
    for weight, profit in zip(weights, profits, strict=True):
        for room in range(most, weight - 1, -1):
            best[room] = max(best[room], best[room - weight] + profit)
    return best[most]


def solved(most: int, weights: list[int], profits: list[int]) -> tuple[int, int]:
    """The profit and the weight of the best pack. Profits are scaled to sum to 1, as shares do."""
    names = [f"item-{place}" for place in range(len(weights))]
    total = sum(profits)
    goals = [Goal(profit / total, (frozenset([name]),)) for name, profit in zip(names, profits, strict=True)]
    use = dict(zip(names, map(float, weights), strict=True))
    taken = best_pack(goals, [Capacity(float(most), use)])
    places = [names.index(name) for name in taken]
    return sum(profits[place] for place in places), sum(weights[place] for place in places)


def test_the_tourist_of_rosetta_code() -> None:
    weights, profits = map(list, zip(*TOURIST.values(), strict=True))
    assert solved(400, weights, profits) == (1030, 396)


@pytest.mark.parametrize("name", INSTANCES)
def test_the_instances_of_the_knapsack_01_data_set(name: str) -> None:
    most, weights, profits, optimum = INSTANCES[name]
    profit, weight = solved(most, weights, profits)
    assert profit == optimum == by_table(most, weights, profits)
    assert weight <= most
