"""Reviews that need more than one spoilt line, and what must not be complained about."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.authoring.validate.reviews import review
from worlds.tiny_library import base_library, problems_in, spoil, write_library

RACES = """\
complaints:
  races:
    title: It races
    words: [fast]
    gate: or
    of: [slide-stuck]
    proof: {ask: 'Does it drop?', minutes: 1, hazards: [moving-parts]}
causes:
  slide-stuck: {title: Slide stuck, rate: 1, only_if: four-stroke}
repairs:
  free-slide: {title: Free it, roadside: false, cures: [slide-stuck], how: [Free it.], minutes: 3}
"""

PAIR = """\
complaints:
  bogs:
    title: It bogs
    words: [bogs]
    gate: or
    of: [jet-blocked, needle-low]
    proof: {{ask: 'Does it pull?', minutes: 1, hazards: [moving-parts]}}
causes:
  jet-blocked: {{title: Jet blocked, rate: 1{one}}}
  needle-low: {{title: Needle low, rate: 1{other}}}
repairs:
  clean-jet: {{title: Clean it, roadside: false, cures: [{first}], how: [Clean it.], minutes: 3}}
  lift-needle: {{title: Lift it, roadside: false, cures: [{second}], how: [Lift it.], minutes: 3}}
"""


def pair(one: str = "", other: str = "", first: str = "jet-blocked", second: str = "needle-low") -> str:
    return PAIR.format(one=one, other=other, first=first, second=second)


def test_a_complaint_without_a_possible_cause_on_a_machine_is_reported(tmp_path: Path) -> None:
    assert problems_in(write_library(tmp_path, races=RACES)) == [
        "races.yaml:6: no cause can bring `races` about on `moped`;"
        " add a cause that fits it, or `only_if:` to the complaint"
    ]


def test_a_complaint_that_does_not_fit_the_machine_needs_no_cause_there(tmp_path: Path) -> None:
    fitting = RACES.replace("    gate: or\n", "    gate: or\n    only_if: four-stroke\n", 1)
    assert problems_in(write_library(tmp_path, races=fitting)) == []


def test_causes_that_no_check_tells_apart_are_reported_once(tmp_path: Path) -> None:
    assert problems_in(write_library(tmp_path, pair=pair())) == [
        "pair.yaml:9: no check tells `jet-blocked` from `needle-low`, and no one repair cures them;"
        " add a check that observes one of them, or name them in one repair"
    ]


def test_causes_with_one_common_repair_need_no_check(tmp_path: Path) -> None:
    both = pair(first="jet-blocked, needle-low")
    assert problems_in(write_library(tmp_path, pair=both)) == []


def test_causes_that_are_never_on_one_machine_need_no_check(tmp_path: Path) -> None:
    apart = pair(one=", only_if: two-stroke", other=", only_if: four-stroke")
    assert problems_in(write_library(tmp_path, pair=apart)) == []


def test_causes_of_different_complaints_need_no_check(tmp_path: Path) -> None:
    other = RACES.replace(", only_if: four-stroke", "")
    alone = pair().replace("of: [jet-blocked, needle-low]", "of: [jet-blocked, plug-fouled]")
    found = problems_in(write_library(tmp_path, races=other, pair=alone))
    assert not any("slide-stuck" in one for one in found)


CHECK = """\
checks:
  look-at-jet:
    title: Look at the jet
    kind: look
    ask: 'Is it blocked?'
    observes: jet-blocked
    abnormal: yes
    false_alarm: 0.05
    miss: 0.05
    minutes: 4
"""


def test_a_check_of_one_of_them_tells_two_causes_apart(tmp_path: Path) -> None:
    assert problems_in(write_library(tmp_path, pair=pair(), look=CHECK)) == []


def test_a_check_that_does_not_fit_the_machine_tells_nothing_apart(tmp_path: Path) -> None:
    folder = write_library(tmp_path, pair=pair(), look=f"{CHECK}    only_if: four-stroke\n")
    assert any("no check tells `jet-blocked` from `needle-low`" in one for one in problems_in(folder))


def test_weak_links_of_different_chances_tell_causes_apart(tmp_path: Path) -> None:
    """A state that one cause brings about more often than the other speaks for the one."""
    state = (
        "events:\n  lean: {title: Lean, gate: or, "
        "of: [{event: jet-blocked, chance: 0.9}, {event: needle-low, chance: 0.2}]}\n"
    )
    leading = pair().replace("of: [jet-blocked, needle-low]", "of: [jet-blocked, needle-low, lean]")
    look = CHECK.replace("jet-blocked", "lean")
    assert problems_in(write_library(tmp_path, pair=leading, state=state, look=look)) == []


def test_a_cause_that_shows_only_hot_is_told_from_one_that_shows_always(tmp_path: Path) -> None:
    state = (
        "events:\n"
        "  lean: {title: Lean, gate: or, of: [jet-blocked, needle-hot]}\n"
        "  needle-hot: {title: Needle hot, gate: and, of: [needle-low, engine-hot]}\n"
    )
    leading = pair().replace("of: [jet-blocked, needle-low]", "of: [lean]")
    look = CHECK.replace("jet-blocked", "lean")
    assert problems_in(write_library(tmp_path, pair=leading, state=state, look=look)) == []


LEAN = "events:\n  lean: {{title: Lean, gate: {gate}, of: [{inputs}]}}\n"


@pytest.mark.parametrize(
    ("gate", "inputs"),
    [
        ("or", "{event: jet-blocked, chance: 0.5}, needle-low"),
        ("or", "{event: jet-blocked, chance: 0.5}, {event: needle-low, chance: 0.3}"),
    ],
)
def test_a_state_without_which_the_complaint_is_not_made_tells_nothing_apart(
    tmp_path: Path, gate: str, inputs: str
) -> None:
    """Given the complaint the state is there for either cause, however rarely the one brings it about."""
    leading = pair().replace("of: [jet-blocked, needle-low]", "of: [lean]")
    state, look = LEAN.format(gate=gate, inputs=inputs), CHECK.replace("jet-blocked", "lean")
    found = problems_in(write_library(tmp_path, pair=leading, state=state, look=look))
    assert any("no check tells `jet-blocked` from `needle-low`" in problem for problem in found)


def test_two_ways_from_one_weak_link_are_true_together_and_tell_causes_apart(tmp_path: Path) -> None:
    """With the link open both ways are true: by chance alone they would be together in a quarter of cases."""
    state = (
        "events:\n"
        "  half: {title: Half, gate: or, of: [{event: jet-blocked, chance: 0.5}]}\n"
        "  quarter: {title: Quarter, gate: or, of: [{event: needle-low, chance: 0.25}]}\n"
        "  left: {title: Left, gate: or, of: [half]}\n"
        "  right: {title: Right, gate: or, of: [half]}\n"
        "  both: {title: Both, gate: and, of: [left, right]}\n"
        "  lean: {title: Lean, gate: or, of: [both, quarter]}\n"
    )
    leading = pair().replace("of: [jet-blocked, needle-low]", "of: [jet-blocked, needle-low, lean]")
    look = CHECK.replace("jet-blocked", "lean")
    assert problems_in(write_library(tmp_path, pair=leading, state=state, look=look)) == []


def test_of_a_branch_that_nobody_reaches_only_the_top_is_named(tmp_path: Path) -> None:
    branch = (
        "events:\n"
        "  upper: {title: Upper, gate: or, of: [lower, plug-fouled]}\n"
        "  lower: {title: Lower, gate: or, of: [rings-worn, plug-fouled]}\n"
    )
    assert problems_in(write_library(tmp_path, branch=branch)) == [
        "branch.yaml:2: no complaint leads to `upper`; name it in the `of:` of an event or a complaint"
    ]


def test_a_line_is_unreachable_when_its_event_always_brings_an_earlier_one_about(tmp_path: Path) -> None:
    lines = (
        "checks:\n  look:\n    title: Look\n    kind: look\n    ask: 'What?'\n    findings: {a: A, b: B}\n"
        "    expect:\n"
        "      - {when: no-spark, chances: {a: 0.9, b: 0.1}}\n"
        "      - {when: plug-fouled, chances: {a: 0.5, b: 0.5}}\n"
        "      - {chances: {a: 0.1, b: 0.9}}\n"
        "    minutes: 1\n"
    )
    assert problems_in(write_library(tmp_path, look=lines)) == [
        "look.yaml:9: this line of `look` is never reached: a line before it holds whenever it does;"
        " move it up, or delete it"
    ]


def test_a_line_is_unreachable_through_several_gates_but_not_through_a_weak_link(tmp_path: Path) -> None:
    lines = (
        "checks:\n  look:\n    title: Look\n    kind: look\n    ask: 'What?'\n    findings: {a: A, b: B}\n"
        "    expect:\n"
        "      - {when: will-not-start, chances: {a: 0.9, b: 0.1}}\n"
        "      - {when: plug-fouled, chances: {a: 0.5, b: 0.5}}\n"
        "      - {when: low-compression, chances: {a: 0.4, b: 0.6}}\n"
        "      - {chances: {a: 0.1, b: 0.9}}\n"
        "    minutes: 1\n"
    )
    assert [one.split(": ")[0] for one in problems_in(write_library(tmp_path, look=lines))] == ["look.yaml:9"]


def test_reviewing_twice_gives_the_same(tmp_path: Path) -> None:
    library = base_library(tmp_path)
    assert review(library) == review(library) == ()


NUT = """\
figures:
  nut-torque: {title: Nut, unit: N·m}
setups:
  cover-off: {title: Cover off, how: [Undo it.], undo: [Do it up.], figures: [nut-torque], minutes: 1}
"""


def test_a_setup_put_back_to_a_figure_without_a_number_is_reported(tmp_path: Path) -> None:
    assert problems_in(write_library(tmp_path, nut=NUT)) == [
        "nut.yaml:4: `cover-off` is finished to `nut-torque`, which has no number on `moped`;"
        " add `assumed:` to the figure, or state it for the machine"
    ]


def test_a_figure_that_is_assumed_will_do(tmp_path: Path) -> None:
    assumed = NUT.replace("unit: N·m", "unit: N·m, assumed: [{value: 9 N·m}]")
    assert problems_in(write_library(tmp_path, nut=assumed)) == []


def test_a_repair_without_a_minute_is_doubted(tmp_path: Path) -> None:
    found = problems_in(spoil(tmp_path, "work.yaml", "minutes: 9", "minutes: 0"))
    assert [problem.split(":", 2)[2] for problem in found] == [
        " `new-switch` takes 0 minutes; write how long it takes"
    ]


@pytest.mark.parametrize("title", ["\u3164", "\u2800", "\u115f\u1160", "\xad"])
def test_a_title_of_which_nothing_is_seen_is_a_problem(tmp_path: Path, title: str) -> None:
    found = problems_in(spoil(tmp_path, "work.yaml", "title: New switch", f"title: '{title}'"))
    assert len(found) == 1
    assert found[0].isprintable()


def test_hazards_that_were_emptied_are_missed_where_every_other_use_of_the_tool_names_one(
    tmp_path: Path,
) -> None:
    look = "{{title: T, kind: look, ask: A?, observes: plug-fouled, abnormal: yes, {more}}}"
    numbers = "false_alarm: 0.1, miss: 0.1, minutes: 1, tools: [gauge]"
    others = [f"  look-{n}: {look.format(more=f'{numbers}, hazards: [pressure]')}\n" for n in range(3)]
    emptied = f"  look-empty: {look.format(more=f'{numbers}, hazards: []')}\n"
    gauge = "    tools: [gauge]\n    needs: [plug-out]\n"
    folder = spoil(tmp_path, "work.yaml", gauge, f"{gauge}    hazards: [pressure]\n")
    (folder / "more.yaml").write_text(f"checks:\n{''.join(others)}{emptied}", encoding="utf-8")
    assert [problem.split(":", 2)[2] for problem in problems_in(folder) if "hazard" in problem] == [
        " `look-empty` names no hazard, and every other step with `gauge` names `pressure`;"
        " add `pressure` to its `hazards:`"
    ]
