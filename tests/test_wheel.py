"""The built wheel by itself: installed in another environment, run from another folder, left as it was."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MACHINE = ("--machine", "clip-on-two-stroke")


class Elsewhere:
    """An environment in which the wheel alone is installed, beside the packages that it needs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "elsewhere"
        self.folder.mkdir()
        venv.create(folder / "environment", with_pip=False)
        self.programs = folder / "environment" / "bin"
        pip = (sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check")
        self._done(*pip, "wheel", "--no-deps", "-w", str(folder), str(ROOT))
        (self.wheel,) = folder.glob("kickover-*.whl")
        self._done(*pip, "--python", str(self.programs / "python"), "install", "--no-deps", str(self.wheel))
        (self.package,) = (folder / "environment").glob("lib/python*/site-packages/kickover")
        (self.package.parent / "needed.pth").write_text(sysconfig.get_path("purelib") + "\n")
        for file in self.package.rglob("*"):
            file.chmod(0o555 if file.is_dir() else 0o444)
        self.package.chmod(0o555)

    def runs(self, *words: str, typed: str = "") -> str:
        return self._done(str(self.programs / words[0]), *words[1:], typed=typed)

    def files(self) -> set[str]:
        found = {str(file.relative_to(self.package)) for file in self.package.rglob("*")}
        return {name for name in found if "__pycache__" not in name}

    def _done(self, *command: str, typed: str = "") -> str:
        environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
        environment |= {"KICKOVER_HOME": str(self.folder / "home"), "PYTHONDONTWRITEBYTECODE": "1"}
        done = subprocess.run(
            command,
            input=typed,
            cwd=self.folder,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


@pytest.mark.slow
def test_the_wheel_works_from_another_folder_and_writes_nothing_into_itself(tmp_path: Path) -> None:
    there = Elsewhere(tmp_path)
    before = there.files()
    assert {"faults/complaints.yaml", "py.typed"} <= before
    where = there.runs("python", "-c", "import kickover; print(kickover.__file__)")
    assert Path(where.strip()).parent == there.package
    ranked = json.loads(there.runs("kickover", "rank", "no-spark-seen", *MACHINE, "--json"))
    assert ranked["causes"]
    assert "no problems" in there.runs("kickover", "check")
    assert "Saved" in there.runs("kickover", "walk", "no-spark-seen", *MACHINE, "--plain", typed="1\nquit\n")
    there.runs("kickover", "draw", "tree", "ignition", "-o", "tree.svg")
    there.runs("kickover", "draw", "booklet", *MACHINE, "-o", "booklet.pdf")
    assert (there.folder / "booklet.pdf").read_bytes().startswith(b"%PDF")
    assert json.loads(there.runs("kickover", "schema", "rank"))["title"]
    assert there.files() == before
