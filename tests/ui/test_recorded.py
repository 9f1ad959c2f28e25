"""The recorded walks are what the program says today, and each of them ends well."""

from __future__ import annotations

import pytest

from kickover.model.library import Library
from ui.recording import FOLDER, STORIES, Story, path_of, recorded


def test_there_is_a_recorded_walk_for_every_machine_of_the_co_op(shipped: Library) -> None:
    demo = {name for name, machine in shipped.machines.items() if machine.invented}
    assert {story.machine for story in STORIES} == demo
    assert {path.name for path in FOLDER.iterdir()} == {path_of(story).name for story in STORIES}


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.machine)
def test_a_recorded_walk_is_up_to_date(shipped: Library, story: Story) -> None:
    kept = path_of(story).read_text(encoding="utf-8")
    assert recorded(story, shipped) == kept, "record them anew: python tests/ui/recording.py"


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.machine)
def test_a_recorded_walk_ends_with_the_cure(story: Story) -> None:
    kept = path_of(story).read_text(encoding="utf-8")
    assert "It is cured" in kept
    assert "Well done." in kept
