"""The service log: what is due follows from what ran and what was done."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from kickover.cli.main import run
from kickover.core.ids import MachineId
from kickover.model.library import Library
from kickover.packing.service_log import (
    DueTask,
    LogEntry,
    ServiceLogError,
    due_tasks,
    hours_run,
    read_log,
    with_entries,
    write_log,
)

TODAY = date(2031, 5, 1)
ON = ("--machine", "points-moped")


def due(shipped: Library, *log: LogEntry) -> dict[str, DueTask]:
    machine = shipped.machines[MachineId("points-moped")]
    return {one.service.id: one for one in due_tasks(shipped, machine, log, TODAY)}


def test_a_job_is_due_when_its_hours_are_run_and_not_before(shipped: Library) -> None:
    assert not due(shipped, LogEntry("2031-04-30", 49.9))["points"].due
    assert due(shipped, LogEntry("2031-04-30", 50.0))["points"].due
    done = due(shipped, LogEntry("2031-04-30", 50.0, "points"), LogEntry("2031-05-01", 70.0))["points"]
    assert (done.due, done.left) == (False, 30.0)
    assert done.last == LogEntry("2031-04-30", 50.0, "points")


def test_a_job_is_due_when_its_months_are_over(shipped: Library) -> None:
    assert due(shipped, LogEntry("2030-10-01", 1.0))["bowl-drained"].due
    assert not due(shipped, LogEntry("2030-12-01", 1.0))["bowl-drained"].due
    done = (LogEntry("2030-10-01", 1.0), LogEntry("2031-04-01", 1.0, "bowl-drained"))
    assert not due(shipped, *done)["bowl-drained"].due


def test_the_most_urgent_stands_first_and_nothing_of_every_ride(shipped: Library) -> None:
    tasks = list(due(shipped, LogEntry("2031-04-30", 60.0)).values())
    assert tasks[0].service.id == "chain-care"
    assert [one.due for one in tasks] == sorted((one.due for one in tasks), reverse=True)
    assert all(one.service.hours > 1 for one in tasks)


def test_hours_do_not_run_backwards_and_the_file_reads_back(tmp_path: Path) -> None:
    log = with_entries((), [LogEntry("2031-04-30", 3.5), LogEntry("2031-05-01", 5.0, "points")])
    write_log(tmp_path / "log.jsonl", log)
    assert read_log(tmp_path / "log.jsonl") == log
    assert hours_run(log) == 5.0
    with pytest.raises(ServiceLogError, match="5 hours already"):
        with_entries(log, [LogEntry("2031-05-02", 4.0)])
    (tmp_path / "log.jsonl").write_text("{}\n", encoding="utf-8")
    with pytest.raises(ServiceLogError, match=r"log\.jsonl:1"):
        read_log(tmp_path / "log.jsonl")


def test_the_command_keeps_the_log_and_prints_what_is_due(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["service", *ON, "--hours", "12 h", "--on", "2031-05-01"]) == 0
    assert "Oil the chain, set its play and line (chain-care): 2 h over" in capsys.readouterr().out
    assert run(["service", *ON, "--km", "500", "--done", "chain-care", "--on", "2031-05-02"]) == 0
    capsys.readouterr()
    assert run(["service", *ON, "--log", "--json"]) == 0
    kept = json.loads(capsys.readouterr().out)
    assert kept["hours"] == 20.0
    assert kept["log"][-1]["task"] == "chain-care"
    assert run(["service", *ON, "--due"]) == 0
    printed = capsys.readouterr().out
    assert "[ ] Go over the fasteners" in printed
    assert "Oil the chain" not in printed
    assert "BEFORE EVERY RIDE" not in printed
    assert run(["service", *ON, "--due", "-o", str(tmp_path / "due.pdf")]) == 0
    assert (tmp_path / "due.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--done", "poitns"), "did you mean 'points'"),
        (("--hours", "5", "--on", "tomorrow"), "is no date"),
        (("--hours", "5 psi"), "pressure"),
    ],
)
def test_what_cannot_be_written_down_is_said(
    home: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert run(["service", *ON, *words]) in (1, 2)
    assert said in capsys.readouterr().err
    assert not (home / "service").exists()
