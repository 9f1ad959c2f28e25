"""What commands work out of a machine alone is worked out once for all their tests."""

from __future__ import annotations

from collections.abc import Iterator, Set
from unittest import mock

import pytest

from kickover.core.ids import EventId
from kickover.model.entities import Machine
from kickover.model.library import Library
from kickover.packing.strandings import Stranding, strandings


@pytest.fixture(scope="session", autouse=True)
def _strandings_once() -> Iterator[None]:
    """Packing and service of a machine begin with the same sum (packing/test_strandings.py)."""
    known: dict[tuple[object, ...], tuple[Library, tuple[Stranding, ...]]] = {}

    def once(
        library: Library,
        machine: Machine,
        given: Set[EventId] = frozenset(),
        only: Set[EventId] = frozenset(),
    ) -> tuple[Stranding, ...]:
        key = (id(library), machine.id, frozenset(machine.traits), frozenset(given), frozenset(only))
        if key not in known:
            known[key] = library, strandings(library, machine, given, only)
        return known[key][1]

    with (
        mock.patch("kickover.cli.pack.strandings", once),
        mock.patch("kickover.packing.checklist.strandings", once),
    ):
        yield
