"""An author's session: begin a library, break and mend it, add a cause, look at it from all sides."""

from __future__ import annotations

from roles.desk import Desk

DIM = """\
causes:
  bulb-dim:
    title: Bulb old and dim
    rate: rare
    source: estimate
checks:
  bulb-by-day:
    title: Glass of the bulb by day
    kind: look
    ask: Is the glass grey inside?
    observes: bulb-dim
    abnormal: yes
    false_alarm: 0.03
    miss: 0.1
    minutes: 1
    needs: [lamp-open]
    source: estimate
repairs:
  bright-bulb:
    title: Fit a brighter bulb
    roadside: false
    cures: [bulb-dim]
    how: [Fit it.]
    minutes: 2
    spares: [bulb]
    needs: [lamp-open]
    source: estimate
"""


def test_an_author_begins_a_library_and_adds_to_it(desk: Desk) -> None:
    desk.types("new library lamp")
    assert "no problems" in desk.types("check lamp")

    (desk.folder / "lamp" / "dim.yaml").write_text(DIM.replace("lamp-open", "lamp-opne"), encoding="utf-8")
    problems = desk.types("check lamp", leaves_with=1)
    assert "dim.yaml:16" in problems
    assert "did you mean `lamp-open`?" in problems
    (desk.folder / "lamp" / "dim.yaml").write_text(DIM, encoding="utf-8")
    assert "no complaint leads to `bulb-dim`" in desk.types("check lamp", leaves_with=1)
    tree = desk.folder / "lamp" / "tree.yaml"
    text = tree.read_text(encoding="utf-8")
    tree.write_text(
        text.replace("of: [no-current, bulb-blown]", "of: [no-current, bulb-blown, bulb-dim]"), "utf-8"
    )
    assert "4 causes" in desk.types("check lamp")

    own = "--library lamp"
    assert "bulb-dim" in desk.types(f"list causes --for lamp-dark {own}")
    assert "bulb-by-day=yes" in desk.types(f"show bulb-by-day {own}")
    assert "bulb-dim" in desk.types(f"show old dim bulb {own}")
    ranked = desk.reads(f"rank lamp-dark --machine town-bicycle --saw bulb-by-day=yes {own}")
    assert ranked["causes"][0]["id"] == "bulb-dim"
    assert "bulb old and dim" in desk.types(f"draw tree lamp-dark {own}").lower()
    desk.types(f"draw booklet --machine town-bicycle {own} -o booklet.pdf")
    assert desk.has("booklet.pdf")
    assert "Try the lamp" in desk.types(f"service --machine town-bicycle {own}")
    assert "no complaint of this library strands" in desk.types(
        f"pack --machine town-bicycle --grams 200 {own}"
    )
