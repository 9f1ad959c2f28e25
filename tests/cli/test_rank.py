"""`kickover rank`: the contract of its JSON, what it says to people, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kickover.cli.main import run

RANK = ("rank", "will-not-start", "--machine", "moped")


def ranked(folder: Path, capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    run([*RANK, "--library", str(folder), "--json", *more])
    data = json.loads(capsys.readouterr().out)
    assert isinstance(data, dict)
    return data


def test_the_json_is_as_the_contract_says(yard_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = ranked(yard_folder, capsys, "--saw", "tap-look=shut", "--saw", "compression=90 psi")
    assert set(data) == {
        "machine",
        "complaint",
        "evidence",
        "causes",
        "hypotheses",
        "unlisted",
        "left_out",
        "next",
        "model_version",
    }
    assert (data["machine"], data["complaint"]) == ("moped", "will-not-start")
    assert [one["check"] for one in data["evidence"]] == ["tap-look", "compression"]
    assert data["evidence"][0] == {"check": "tap-look", "finding": "shut", "weight": 1.0}
    assert {"id", "title", "probability"} == set(data["causes"][0])
    assert data["causes"][0]["id"] == "tap-shut"
    chances = [one["probability"] for one in data["causes"]]
    assert chances == sorted(chances, reverse=True)
    assert {"kind", "id", "minutes", "why"} <= set(data["next"])
    assert data["next"]["kind"] in {"check", "repair", "give-up"}
    total = sum(one["probability"] for one in data["hypotheses"]) + data["unlisted"]
    assert total == pytest.approx(1.0, abs=1e-9)
    assert isinstance(data["model_version"], str)


def test_causes_are_marginal_over_the_hypotheses(
    yard_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = ranked(yard_folder, capsys, "--top", "99")
    for cause in data["causes"]:
        mass = sum(one["probability"] for one in data["hypotheses"] if cause["id"] in one["causes"])
        assert mass == pytest.approx(cause["probability"], abs=1e-9)


def test_an_unsure_answer_weighs_less(yard_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    weights = [
        ranked(yard_folder, capsys, "--saw", f"tap-look=shut{sure}")["evidence"][0]["weight"]
        for sure in ("", "~fairly", "~guess")
    ]
    assert weights == [1.0, 0.8, 0.6]


def test_an_answer_counts_in_the_state_in_which_it_was_made(
    yard_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = ranked(yard_folder, capsys, "--saw", "cold-gap=yes@engine-cold", "--given", "engine-hot")
    assert data["evidence"][0]["finding"] == "yes"


def test_several_complaints_and_a_repair_that_did_not_help(
    yard_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(
        [
            *("rank", "will-not-start, smokes", "--machine", "moped", "--done", "open-choke"),
            *("--library", str(yard_folder), "--json"),
        ]
    )
    data = json.loads(capsys.readouterr().out)
    assert "choke-left-on" not in {one["id"] for one in data["causes"]}


def test_people_read_causes_and_the_next_step(yard_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*RANK, "--library", str(yard_folder), "--saw", "tap-look=shut", "--top", "3"]) == 0
    printed = capsys.readouterr().out
    assert "Tap shut (tap-shut)" in printed
    assert "Next: " in printed
    assert "something that is not in the library" in printed


def test_what_the_order_leaves_out_is_said_and_gets_less_with_each(
    yard_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lost = []
    for order in ("1", "2", "3"):
        assert run([*RANK, "--library", str(yard_folder), "--order", order, "--json"]) == 0
        data = json.loads(capsys.readouterr().out)
        lost.append(data["left_out"])
        assert max(len(one["causes"]) for one in data["hypotheses"]) == int(order)
    assert lost[0] > lost[1] > lost[2] >= 0.0
    assert run([*RANK, "--library", str(yard_folder), "--order", "1"]) == 0
    assert "at most one cause; more meet in 6\u00a0%" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["rank", "will-not-strat", "--machine", "moped"], 1, "did you mean 'will-not-start'?"),
        (["rank", "will-not-start", "--machine", "mopde"], 1, "did you mean 'moped'?"),
        ([*RANK, "--saw", "plug-look"], 1, "does not read as CHECK=FINDING"),
        ([*RANK, "--saw", "plug-lok=wet"], 1, "did you mean 'plug-look'?"),
        ([*RANK, "--saw", "plug-look=damp"], 1, "none of the choices: wet, sooty, clean"),
        ([*RANK, "--saw", "compression=900 psi"], 1, "cannot be"),
        ([*RANK, "--saw", "plug-look=wet@engine-hut"], 1, "did you mean 'engine-hot'?"),
        ([*RANK, "--given", "engine-hut"], 1, "did you mean 'engine-hot'?"),
        ([*RANK, "--kit", "puch"], 1, "did you mean 'pouch'?"),
        ([*RANK, "--done", "new-wings"], 1, "there is no repair"),
        (["rank", "will-not-start"], 2, "Missing option '--machine'"),
        ([*RANK, "--top", "0"], 2, "--top"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(
    yard_folder: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], code: int, said: str
) -> None:
    assert run([*arguments, "--library", str(yard_folder)]) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert "Traceback" not in err


def test_on_the_clip_on_the_coil_leads_once_the_kill_lead_is_off_and_there_is_still_no_spark(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # Common practice, no source.
    run(
        [
            *("rank", "no-spark-seen", "--machine", "clip-on-two-stroke", "--json"),
            *("--saw", "spark-with-kill-lead-off=still-none"),
        ]
    )
    data = json.loads(capsys.readouterr().out)
    assert data["causes"][0]["id"] == "source-coil-open"
