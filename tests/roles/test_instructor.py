"""An instructor's session: choose a lesson, print it, let a learner practise, look at the class."""

from __future__ import annotations

from roles.desk import Desk


def test_an_instructor_prepares_and_holds_a_lesson(desk: Desk) -> None:
    lessons = desk.reads("drill --lessons")
    assert [one["level"] for one in lessons] == sorted(one["level"] for one in lessons)
    assert "Goal" in desk.types("show wet-or-dry")

    desk.types("drill --lesson wet-or-dry --seed 3 --sheet sheet.pdf --key key.pdf")
    assert desk.has("sheet.pdf")
    assert desk.has("key.pdf")

    left = desk.types("drill --lesson wet-or-dry --seed 3 --learner ada --plain", "hint", "quit")
    assert "kept for ada" in left
    gone_on = desk.types("drill --learner ada --plain", "stop", "", "", "", "", "", leaves_with=1)
    assert "Going on where ada left it" in gone_on

    assert "1 learners" in desk.types("drill --class")
    assert desk.reads("drill --class")[0]["learner"] == "ada"
    assert "wet-or-dry" in desk.types("drill --class --learner ada")
    desk.types("drill --export results.csv")
    assert b"ada" in (desk.folder / "results.csv").read_bytes()

    desk.types("draw tree ignition -o ignition.svg")
    assert desk.has("ignition.svg", b"<")
    assert "6 kΩ" in desk.types("show coil-secondary")
