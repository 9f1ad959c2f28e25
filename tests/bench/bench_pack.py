"""How long the best pack takes on every demo machine, beside the smallest program that the solver can get.

Run: python tests/bench/bench_pack.py. Times are ratios to an integer program of one item, so that they mean
the same on any computer; seconds stand beside them for information.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from statistics import median

from kickover.kit.advice import Budget, Packer
from kickover.kit.packing import Goal, Limit, best_pack
from kickover.kit.strandings import strandings
from kickover.kit.ways import coverings
from kickover.library import load_or_raise, shipped_folder

Row = Mapping[str, float | int | str]


def bench_pack(grams: Sequence[float] = (500.0, 1500.0, 4000.0), repeats: int = 3) -> list[Row]:
    """One row a machine and weight: the size of the problem, the chance, and the time as a ratio."""
    library = load_or_raise(shipped_folder())
    tiny = [Goal(1.0, (frozenset({"a"}),))]
    limit = [Limit(1.0, {"a": 1.0})]
    bare = _seconds(lambda: best_pack(tiny, limit), repeats + 2)
    rows: list[Row] = []
    for machine in library.machines.values():
        covered = coverings(library, machine, strandings(library, machine))
        packer = Packer(library, covered)
        for most in grams:
            taken = _seconds(lambda most=most, packer=packer: packer.best(Budget(most)), repeats)  # type: ignore[misc]
            rows.append(
                {
                    "what": "best pack",
                    "machine": machine.id,
                    "grams": most,
                    "causes": len(covered),
                    "ways": len({way.items for one in covered for way in one.ways}),
                    "items": len({item for one in covered for way in one.ways for item in way.items}),
                    "chance": round(packer.best(Budget(most)).chance, 4),
                    "times the smallest program": round(taken / bare, 1),
                    "seconds": round(taken, 3),
                }
            )
    return rows


def _seconds(work: Callable[[], object], repeats: int) -> float:
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return median(times)


if __name__ == "__main__":
    for row in bench_pack():
        print(row)
