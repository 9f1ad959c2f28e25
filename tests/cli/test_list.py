"""`kickover list` and the small Python interface."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import kickover
from kickover.api import UnknownNameError
from kickover.cli.list import KINDS
from kickover.cli.main import run
from kickover.core.problem import LibraryError


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_kind_lists_objects_with_id_and_title(
    yard_folder: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    assert run(["list", kind, "--library", str(yard_folder), "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert isinstance(rows, list)
    assert all({"id", "title"} <= set(row) for row in rows)
    assert run(["list", kind, "--library", str(yard_folder)]) == 0
    assert f"{len(rows)} {kind}" in capsys.readouterr().out


def test_an_unknown_kind_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list", "dragons"]) == 2
    assert "complaints" in capsys.readouterr().err


def test_the_interface_of_the_design_works_as_written(yard_folder: Path) -> None:
    library = kickover.load(yard_folder)
    walk = library.walk("will-not-start", "moped")
    assert walk.ranking()[0].cause == "plug-fouled"
    walk.record("tap-look", "shut")
    walk.record("compression", "90 psi")
    assert walk.ranking()[0].cause == "tap-shut"
    assert walk.next_step().id == "open-tap"
    walk.back()
    walk.back()
    assert walk.ranking()[0].cause == "plug-fouled"


def test_unknown_names_get_the_near_one(yard_folder: Path) -> None:
    library = kickover.load(yard_folder)
    with pytest.raises(UnknownNameError, match="did you mean 'moped'"):
        library.walk("will-not-start", "mopde")
    with pytest.raises(UnknownNameError, match="did you mean 'smokes'"):
        library.walk("smoke", "moped")
    with pytest.raises(UnknownNameError, match="did you mean 'tap-look'"):
        library.walk("smokes", "moped").record("tap-lok", "shut")
    with pytest.raises(UnknownNameError, match="`kickover list kits` shows them"):
        library.walk("smokes", "moped", kit="zzzz")


def test_machines_and_kits_may_be_files_of_ones_own(yard_folder: Path) -> None:
    library = kickover.load(yard_folder)
    walk = library.walk(["smokes"], str(yard_folder / "moped.yaml"), kit=str(yard_folder / "pouch.yaml"))
    assert walk.session.model.machine.id == "moped"
    assert set(walk.session.job.kit or ()) == {"socket", "plug"}


def test_a_library_with_problems_is_refused_with_all_of_them(tmp_path: Path) -> None:
    (tmp_path / "broken.yaml").write_text("causes: {tap: {title: 3}}\n", encoding="utf-8")
    with pytest.raises(LibraryError) as refused:
        kickover.load(tmp_path)
    assert "broken.yaml:1" in str(refused.value)
