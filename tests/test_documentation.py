"""README.md and DEVELOPERS.md say what is so: every command and example in them runs as it stands."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path

import pytest

from kickover.authoring import shipped_folder
from kickover.cli.main import run

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TALKS = (
    "walk",
    "machine ",
    "drill --machine",
    "report WALK",
    "cases add WALK",
    "cases correct ID",
    "cases learn",
)
"""Commands that talk with a person, or that need what a person made before."""
SLOW = ("evaluate", "pack ")


def commands_of(text: str) -> list[str]:
    """The whole command lines in backticks that start with the program's name."""
    found = re.findall(r"`kickover ([^`]+)`", text)
    return [line for line in dict.fromkeys(found) if not line.startswith(TALKS)]


@pytest.mark.parametrize(
    "line",
    [
        pytest.param(line, marks=[pytest.mark.slow] if line.startswith(SLOW) else [])
        for line in commands_of(README)
    ],
)
def test_every_command_of_the_readme_runs(
    line: str, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(shipped_folder(), tmp_path / "faults")
    monkeypatch.chdir(tmp_path)
    words = ["--jobs", "1", "--walks", "4"] if line.startswith("evaluate") else []
    assert run([*shlex.split(line), *words]) == 0


def test_the_python_of_the_readme_runs() -> None:
    (example,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    exec(compile(example, "README.md", "exec"), {})


def test_a_newcomer_adds_a_cause_by_editing_one_file(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The worked example of DEVELOPERS.md: it checks clean, is ranked, and stands in the picture."""
    example = DEVELOPERS.split("### The smallest change", 1)[1].split("```yaml\n", 1)[1].split("```", 1)[0]
    library = tmp_path / "faults"
    shutil.copytree(shipped_folder(), library)
    (library / "ignition" / "plug-body.yaml").write_text(example, encoding="utf-8")
    assert run(["check", str(library)]) == 0, capsys.readouterr().out
    capsys.readouterr()
    ranked = ["rank", "no-spark-seen", "--machine", "clip-on-two-stroke", "--saw", "plug-body-turn=yes"]
    assert run([*ranked, "--library", str(library), "--json"]) == 0
    assert "plug-body-loose" in [cause["id"] for cause in json.loads(capsys.readouterr().out)["causes"]]
    assert run(["draw", "tree", "plug-not-firing", "--library", str(library)]) == 0
    assert "insulator loose" in capsys.readouterr().out
