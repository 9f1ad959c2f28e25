"""The best pack on every machine, beside the smallest program that the solver can get."""

from __future__ import annotations

from functools import partial

from bench.table import Row, seconds
from kickover.authoring import load_or_raise, shipped_folder
from kickover.packing.advice import Budget, Packer
from kickover.packing.coverings import coverings
from kickover.packing.knapsack import Capacity, Goal, best_pack
from kickover.packing.strandings import strandings

GRAMS = (500.0, 1500.0, 4000.0)


def rows() -> list[Row]:
    """For each machine the size of the problem, and the times for some weights over that of one item."""
    library = load_or_raise(shipped_folder())
    bare = seconds(lambda: best_pack([Goal(1.0, (frozenset({"a"}),))], [Capacity(1.0, {"a": 1.0})]), 5)
    weights = ", ".join(f"{most:g}" for most in GRAMS)
    found = [Row("best pack of one item", f"{bare * 1000.0:.1f} ms")]
    for machine in library.machines.values():
        covered = coverings(library, machine, strandings(library, machine))
        packer = Packer(library, covered)
        items = {item for one in covered for way in one.ways for item in way.items}
        times = [seconds(partial(packer.best, Budget(most)), 2) / bare for most in GRAMS]
        what = f"  {machine.id}, {len(covered)} causes, {len(items)} items: {weights} g"
        found.append(Row(what, ", ".join(f"{time:.0f}" for time in times) + " x"))
    return found
