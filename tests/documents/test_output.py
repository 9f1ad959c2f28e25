from __future__ import annotations

from pathlib import Path

import pytest

from kickover.core.atomic_file import OutputError, write_file


def test_only_the_named_file_appears(tmp_path: Path) -> None:
    write_file(tmp_path / "tree.svg", b"drawn")
    assert [path.name for path in tmp_path.iterdir()] == ["tree.svg"]
    assert (tmp_path / "tree.svg").read_bytes() == b"drawn"


def test_an_old_file_keeps_its_permissions(tmp_path: Path) -> None:
    file = tmp_path / "tree.svg"
    file.write_bytes(b"old")
    file.chmod(0o640)
    write_file(file, b"new")
    assert (file.read_bytes(), file.stat().st_mode & 0o777) == (b"new", 0o640)


def test_a_refused_write_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "tree.svg"
    file.write_bytes(b"old")

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OutputError, match="No space left"):
        write_file(file, b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["tree.svg"]
    assert file.read_bytes() == b"old"


def test_a_folder_is_refused_as_a_file(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="is a folder"):
        write_file(tmp_path, b"")


def test_a_missing_folder_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="does not exist"):
        write_file(tmp_path / "none" / "tree.svg", b"")
    assert not (tmp_path / "none").exists()
