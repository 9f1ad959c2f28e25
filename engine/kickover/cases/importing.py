"""Many cases into the store at once: the good ones are added, the others are named and kept aside."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice

from kickover.cases.exchange import Row
from kickover.cases.grounds import Grounds
from kickover.cases.store import CaseStore
from kickover.cases.vetting import objections

BATCH = 2000
"""Cases that are added in one transaction."""


@dataclass(slots=True)
class Imported:
    """How many cases were added, were there already, and were kept aside."""

    added: int = 0
    known: int = 0
    aside: int = 0


def import_rows(
    rows: Iterable[Row],
    store: CaseStore,
    grounds: Grounds,
    today: date,
    keep_aside: Callable[[Row, str], None],
) -> Imported:
    """Add the cases of `rows`; hand each that cannot be added to `keep_aside` with what is wrong.

    What was added stays, whatever comes after it. A case that is there already with the same content is
    passed over; one whose id is there with other content is kept aside.
    """
    done = Imported()
    for batch in _batches(rows):
        good = []
        for row in batch:
            trouble = row.trouble
            if row.case is not None:
                trouble = "; ".join(str(one) for one in objections(row.case, grounds, today)[:1])
            if trouble or row.case is None:
                done.aside += 1
                keep_aside(row, trouble)
            else:
                good.append((row, row.case))
        left_out = store.add([case for _, case in good])
        done.added += len(good) - len(left_out)
        for place in left_out:
            row, case = good[place]
            if store.find(case.id) == case:
                done.known += 1
            else:
                done.aside += 1
                keep_aside(row, f"another case has the id {case.id!r}; give this one an id of its own")
    return done


def _batches(rows: Iterable[Row]) -> Iterator[list[Row]]:
    waiting = iter(rows)
    while batch := list(islice(waiting, BATCH)):
        yield batch
