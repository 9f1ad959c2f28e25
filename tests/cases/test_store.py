"""A file of cases keeps what it was given."""

from __future__ import annotations

from pathlib import Path

from kickover.cases.record import Case, Seen
from kickover.cases.store import opened

WET = Case(
    id="20260301-hill-run",
    date="2026-03-01",
    machine="moped",
    complaints=("will-not-start",),
    given=("engine-cold",),
    causes=(("plug-fouled",),),
    seen=(Seen("spark-at-plug", (("none", 1.0),)), Seen("compression", (("low", 0.25), ("good", 0.75)))),
    minutes=24.5,
    library="1.0+abc",
)


def test_a_case_comes_back_as_it_was_added(tmp_path: Path) -> None:
    with opened(tmp_path / "cases.sqlite") as store:
        assert store.add([WET]) == ()
    with opened(tmp_path / "cases.sqlite") as store:
        assert list(store.stream()) == [WET]


def test_the_same_case_is_not_added_twice(tmp_path: Path) -> None:
    with opened(tmp_path / "cases.sqlite") as store:
        store.add([WET])
        assert store.add([WET]) == (0,)
        assert store.count() == 1
