"""The nearest known name, offered as a mend."""

from __future__ import annotations

from kickover.core.near_names import nearest


def test_a_slip_of_the_keys_is_mended() -> None:
    assert nearest("plug-foulde", ["plug-fouled", "plug-cracked"]) == "plug-fouled"


def test_nothing_is_offered_for_what_is_like_nothing() -> None:
    assert nearest("zzzz", ["plug-fouled", "plug-cracked"]) == ""


def test_among_very_many_names_the_near_one_is_still_found() -> None:
    many = [f"cause-{number}" for number in range(5_000)]
    assert nearest("cause-4999x", many) in ("cause-4999", "cause-499")
