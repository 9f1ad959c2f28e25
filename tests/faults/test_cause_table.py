"""Every cause is walked through every complaint; the library agrees with the table."""

from __future__ import annotations

import pytest

from faults import cause_table, cause_table_engine
from faults.cause_table import KNOWN, Family
from faults.reach import causes_under
from kickover.core.ids import EventId
from worlds.shipped_library import shipped

LIBRARY = shipped()
FAMILIES = (*cause_table.FAMILIES, *cause_table_engine.FAMILIES)


def test_every_complaint_is_known_to_the_table() -> None:
    assert set(LIBRARY.complaints) == KNOWN


def test_every_cause_stands_in_one_family() -> None:
    named = [cause for family in FAMILIES for cause in family.causes.split()]

    assert len(named) == len(set(named))
    assert set(named) == set(LIBRARY.causes)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda one: one.what)
def test_a_family_hangs_under_the_complaints_of_the_table_and_no_other(family: Family) -> None:
    for cause in family.causes.split():
        found = {complaint for complaint in KNOWN if cause in causes_under(EventId(complaint))}

        assert found == family.complaints, cause


def test_each_family_says_why() -> None:
    assert [one.what for one in FAMILIES if len(one.why.split()) < 4] == []
