"""Strategies for cases, and a few written out. Invented, as all data of the tests."""

from __future__ import annotations

from hypothesis import strategies as st

from kickover.learning.case import Case, Confirmed, MeasuredFinding, Seen

WET = Case(
    id="20260301-hill-run",
    date="2026-03-01",
    machine="moped",
    complaints=("will-not-start",),
    given=("engine-cold",),
    causes=(("plug-fouled",),),
    confirmed=Confirmed.REPAIR,
    repair="new-plug",
    seen=(
        Seen("spark-at-plug", (("none", 1.0),), state=("engine-hot",)),
        Seen("compression", (("low", 0.25), ("good", 0.75)), MeasuredFinding(6.2, 6.4, "bar")),
    ),
    minutes=24.5,
    library="1.0+abc",
)

ids = st.sampled_from(["a", "b2", "yes", "no", "plug-fouled", "jet-2-blocked", "x-1", "engine-hot", "null"])
one_line = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=20)
several = st.lists(ids, max_size=3, unique=True).map(tuple)
at_least_one = st.lists(ids, min_size=1, max_size=3, unique=True).map(tuple)
weights = st.lists(
    st.tuples(ids, st.floats(0.0, 1.0)), min_size=1, max_size=3, unique_by=lambda pair: pair[0]
).map(tuple)
numbers = st.floats(allow_nan=False, allow_infinity=False, min_value=-1e9, max_value=1e9)
readings = st.builds(MeasuredFinding, numbers, numbers, st.sampled_from(["bar", "kΩ", "°C", "mm", "", "N·m"]))
seen = st.builds(Seen, ids, weights, st.none() | readings, st.none() | several)
cases = st.builds(
    Case,
    id=one_line,
    date=st.dates().map(lambda day: day.isoformat()),
    machine=ids | one_line,
    complaints=at_least_one,
    given=several,
    causes=st.lists(at_least_one, min_size=1, max_size=3).map(tuple),
    confirmed=st.sampled_from(list(Confirmed)),
    repair=st.just("") | ids,
    seen=st.lists(seen, max_size=4).map(tuple),
    minutes=st.none() | st.floats(0.0, 1e6),
    library=st.just("") | one_line,
)
