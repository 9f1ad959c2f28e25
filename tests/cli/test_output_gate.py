"""No command lets a control character through, wherever it was loaded; commands come from the tree."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from shutil import copytree
from typing import Any
from zlib import crc32

import click
import pytest

from cli.command_tree import commands, words_of
from cli.typed import walked
from kickover.cli.main import run
from kickover.learning.case import Case, MeasuredFinding, Seen
from kickover.learning.store import opened

EVIL = "\x1b]0;title\x07\x1b[31mred\x9b31m\u202egnp\u200b\x08\x7f\u2066x\ufeff"
QUOTED = "".join(f"\\u{ord(one):04x}" for one in EVIL)
"""The same, as YAML writes it between double quotes."""
UNSENT = frozenset(one for one in EVIL if not one.isprintable())
COMMANDS = dict(commands())

MORE = (
    ["report", "WALK", "-o", "FOLDER/report.md"],
    ["report", "WALK", "-o", "FOLDER/report.html"],
    ["walk", "WALK", "--resume", "--plain"],
    ["cases", "export", "FOLDER/cases.csv"],
    ["cases", "export", "FOLDER/cases.jsonl"],
    ["draw", "tree", "no-power", "-o", "FOLDER/tree.svg"],
    ["draw", "chart", "no-power", "--machine", "moped", "-o", "FOLDER/chart.svg"],
)
"""Files that commands write as well."""


@dataclass
class World:
    """A home and a folder in which every text that can be loaded is evil."""

    home: Path
    folder: Path
    library: Path
    evil_library: Path
    capsys: pytest.CaptureFixture[str]

    def run(self, *words: str) -> int:
        return run([*words])

    def assert_nothing_passed(self) -> None:
        said = self.capsys.readouterr()
        texts = {"standard output": said.out, "standard error": said.err}
        for file in self.folder.rglob("*"):
            if file.suffix in {".md", ".html", ".svg", ".csv", ".jsonl", ".dot"}:
                texts[file.name] = file.read_text(encoding="utf-8")
        for name, text in texts.items():
            assert not UNSENT & set(text), f"{name} lets {sorted(UNSENT & set(text))} pass"
        assert "Traceback" not in said.err


@pytest.fixture(scope="module")
def evil_library(yard_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The yard, with evil texts and ids."""
    library = copytree(yard_folder, tmp_path_factory.mktemp("evil") / "library")
    for file in library.glob("*.yaml"):
        file.write_text(file.read_text().replace("title: ", f'about: "{QUOTED}"\n    title: ', 1))
    (library / "more.yaml").write_text(f'causes:\n  "{QUOTED}": {{title: "{QUOTED}", "{QUOTED}": 1}}\n')
    return library


@pytest.fixture
def world(
    home: Path,
    tmp_path: Path,
    yard_folder: Path,
    evil_library: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> World:
    assert walked(monkeypatch, yard_folder, "note hello\nquit\n") == 0
    (journal,) = (home / "walks").glob("*.walk")
    lines = [json.loads(line.rpartition(b" ")[0]) for line in journal.read_bytes().splitlines()]
    journal.unlink()
    (home / "walks" / "evil-1.walk").write_bytes(b"".join(map(framed, map(spoilt, lines))))
    wholly = [{**lines[0], **{key: evil(value) for key, value in lines[0].items() if key != "what"}}]
    (home / "walks" / "evil-2.walk").write_bytes(b"".join(map(framed, wholly)))
    with opened(home / "cases.sqlite") as store:
        seen = Seen(EVIL, (("loose", 1.0),), MeasuredFinding(1.0, 1.0, EVIL))
        case = Case("evil", EVIL, EVIL, ("no-power",), (), (("chain-loose",),), seen=(seen,), library=EVIL)
        store.add([replace(case, repair=EVIL)])
    (home / "machines").mkdir(exist_ok=True)
    (home / "machines" / "evil.yaml").write_text(f'machine: {{id: "{QUOTED}", title: "{QUOTED}"}}\n')
    folder = tmp_path / "made"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO(f"1\nnote {EVIL}\n{EVIL}\nquit\n"))
    capsys.readouterr()
    return World(home, folder, yard_folder, evil_library, capsys)


def spoilt(data: dict[str, Any]) -> dict[str, Any]:
    """A line of a journal that can still be restored, evil in all that is free text."""
    free = {"walk": f"w1{EVIL}", "started": EVIL, "library": EVIL, "version": EVIL, "kit": EVIL, "at": EVIL}
    free |= {"text": EVIL}
    machine = {"id": EVIL, "title": EVIL, "about": EVIL, "traits": [], "figures": {}}
    profile = {"profile": machine} if "complaints" in data else {}
    return {**data, **{key: value for key, value in free.items() if key in data}, **profile}


def evil(value: Any) -> Any:
    match value:
        case str():
            return f"{value}{EVIL}"
        case list():
            return [evil(one) for one in value]
    return value


def framed(data: dict[str, Any]) -> bytes:
    text = json.dumps(data, ensure_ascii=False, sort_keys=True).encode()
    return b"%s %08x\n" % (text, crc32(text))


def takes(command: str, option: str) -> bool:
    return any(option in one.opts for one in COMMANDS[command].params)


def texts_of(command: str) -> Iterator[list[str]]:
    """Each text that a command takes, evil."""
    for one in COMMANDS[command].params:
        if isinstance(one.type, click.types.StringParamType | click.types.Choice | click.types.Path):
            yield [one.opts[-1], EVIL] if isinstance(one, click.Option) else [EVIL]


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_lets_a_control_character_pass(command: str, world: World) -> None:
    words = words_of(command, FOLDER=str(world.folder), WALK="w1", CASE="evil", IMPORT=f"{EVIL}.csv")
    with_library = ["--library", str(world.library)] if takes(command, "--library") else []
    as_json = ["--json"] if takes(command, "--json") else []
    for more in ([], as_json):
        run([*words, *with_library, *more])
        world.assert_nothing_passed()
    if with_library:
        run([*words, "--library", str(world.evil_library)])
        world.assert_nothing_passed()
    for more in texts_of(command):
        run([*words, *more])
        run([*command.split(), *more])
        world.assert_nothing_passed()


@pytest.mark.parametrize("words", MORE, ids=" ".join)
def test_no_file_holds_a_control_character(words: list[str], world: World) -> None:
    overlay = world.folder / f"rates{EVIL.replace('/', '')}.yaml"
    overlay.write_text("causes:\n  chain-loose: {rate: 5}\n", encoding="utf-8")
    said = [word.replace("FOLDER", str(world.folder)).replace("WALK", "w1") for word in words]
    assert run([*said, "--library", str(world.library), "--overlay", str(overlay)]) == 0, (
        world.capsys.readouterr()
    )
    world.assert_nothing_passed()
