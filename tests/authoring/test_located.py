"""Plain data that knows its lines: how a trail leads to one, also in very long lists."""

from __future__ import annotations

import pytest

from kickover.authoring import located
from kickover.authoring.located import line_of
from kickover.authoring.source import read_document


def test_items_are_found_by_name_by_number_and_by_their_first_value() -> None:
    data = read_document(b"of:\n  - one\n  - {event: two, chance: 1}\n  - one\n", "a.yaml").data
    assert [line_of(data, ["of", step]) for step in ("one", "two", "three", 2)] == [2, 3, 1, 4]


def test_a_long_list_is_looked_through_once_however_many_names_are_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    many = 2_000
    items = "\n".join(f"  - unknown-{number}" for number in range(many))
    data = read_document(f"of:\n{items}\n".encode(), "a.yaml").data
    looks: list[object] = []
    name_of = located._name_of

    def counting(item: object) -> str:
        looks.append(item)
        return name_of(item)

    monkeypatch.setattr(located, "_name_of", counting)
    assert [line_of(data, ["of", f"unknown-{number}"]) for number in range(many)] == list(range(2, many + 2))
    assert len(looks) <= many
