"""A walk that is killed: SIGKILL in the middle, at every step, and while an answer is being given."""

from __future__ import annotations

from pathlib import Path

from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.session.entries import Entry
from kickover.session.journal import journals, read
from kickover.session.session import Phase, begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from session.rider import Rider
from ui.real_terminal import RealTerminal


def kept(home: Path) -> tuple[Entry, ...]:
    return tuple(stamped.entry for stamped in read(journals(home / "walks")[0]).entries)


def resumed(folder: Path, home: Path) -> RealTerminal:
    return RealTerminal(["walk", "--resume", "--library", str(folder)], home)


def test_killed_at_every_step_the_walk_still_reaches_its_repair(
    yard: Library, yard_folder: Path, tmp_path: Path
) -> None:
    session = begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])
    rider = Rider(session.model, frozenset({EventId("switch-shorted")}))
    mirror = Dialogue(session)
    walk = RealTerminal(
        ["walk", "will-not-start", "--machine", "moped", "--library", str(yard_folder)], tmp_path
    )
    kills = 0
    while mirror.task().phase is not Phase.MENDED:
        walk.wait_for(mirror.screen().heading)
        line = rider.says(mirror.session, mirror.task())
        mirror = handle_input(mirror, line)
        walk.type(line)
        walk.wait_for(mirror.screen().heading)
        walk.kill()
        kills += 1
        assert kept(tmp_path) == mirror.session.entries
        walk = resumed(yard_folder, tmp_path)
        walk.wait_for(f"Resumed with {len(mirror.session.entries)} answers")
        assert kills < 30
    assert kills >= 3
    walk.wait_for("It is cured")
    walk.type("")
    assert walk.finish() == 0


def test_killed_while_the_answer_is_given_it_is_kept_whole_or_not_at_all(
    yard_folder: Path, tmp_path: Path
) -> None:
    walk = RealTerminal(
        ["walk", "will-not-start", "--machine", "moped", "--library", str(yard_folder)], tmp_path
    )
    walk.wait_for("tep 1")
    for _ in range(4):
        before = kept(tmp_path)
        walk.type("2")
        walk.kill()
        after = kept(tmp_path)
        assert after[: len(before)] == before
        assert len(after) - len(before) in {0, 1}
        walk = resumed(yard_folder, tmp_path)
        walk.wait_for(f"Resumed with {len(after)} answers")
    walk.kill()


def test_killed_while_an_earlier_answer_is_changed_nothing_is_lost(yard_folder: Path, tmp_path: Path) -> None:
    walk = RealTerminal(
        ["walk", "will-not-start", "--machine", "moped", "--library", str(yard_folder)], tmp_path
    )
    walk.wait_for("tep 1")
    for step in (2, 3, 4):
        walk.type("2")
        walk.wait_for(f"tep {step}")
    before = kept(tmp_path)
    walk.type("change 1")
    walk.wait_for("Answer it anew")
    walk.kill()
    assert kept(tmp_path) == before
    walk = resumed(yard_folder, tmp_path)
    walk.wait_for(f"Resumed with {len(before)} answers")
    walk.type("change 1")
    walk.wait_for("Answer it anew")
    walk.type("1")
    walk.wait_for("tep 4")
    walk.kill()
    assert kept(tmp_path)[0] != before[0]
