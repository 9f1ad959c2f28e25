"""A small drill for tests: the tiny library of the loader's tests, with a ride and fuel vapour added."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from kickover.authoring.loading import load_or_raise
from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.session.session import Session, begin
from kickover.training.exercise import Exercise, from_complaint
from kickover.training.hidden_engine import LEVELS, HiddenEngine, draw_engine
from kickover.training.practice import Practice
from worlds.tiny_library import write_library

MORE = """\
complaints:
  no-power:
    title: It has no power
    words: [weak]
    gate: or
    of: [plug-fouled, rings-worn, brake-drags]
    implies: [engine-cold]
    proof: {ask: 'Does it pull on the road?', minutes: 8, needs: [brakes-looked-over], hazards: [road]}
causes:
  brake-drags: {title: Brake drags, rate: common}
checks:
  plug-look:
    title: Plug under the eye
    kind: look
    ask: Is the plug wet?
    findings:
      wet: {title: Wet with fuel, leaves: [fuel-vapour]}
      dry: Dry
    expect:
      - {when: plug-fouled, chances: {wet: 0.9, dry: 0.1}}
      - {chances: {wet: 0.1, dry: 0.9}}
    minutes: 1
    needs: [plug-out]
    hazards: [fuel-vapour-fire]
  story:
    title: The owner's story
    kind: question
    ask: What does the owner say?
    findings: {sudden: It stopped at once, slow: It faded}
    expect:
      - {when: switch-shorted, chances: {sudden: 0.8, slow: 0.2}}
      - {chances: {sudden: 0.3, slow: 0.7}}
    minutes: 0.5
  wheel-spin:
    title: Wheel spun by hand
    kind: look
    ask: Does the wheel turn freely?
    observes: brake-drags
    abnormal: no
    false_alarm: 0.05
    miss: 0.05
    minutes: 1
repairs:
  free-brake:
    title: Free the brake
    roadside: false
    cures: [brake-drags]
    how: [Slacken the cable.]
    minutes: 4
"""


@cache
def library() -> Library:
    return load_or_raise(write_library(Path(mkdtemp()), more=MORE))


@cache
def start(complaint: str = "will-not-start") -> Session:
    return begin(library(), library().machines[MachineId("moped")], (EventId(complaint),))


def engine(
    level: int = 1, seed: int = 0, faults: tuple[str, ...] = (), complaint: str = "will-not-start"
) -> HiddenEngine:
    wanted = tuple(EventId(fault) for fault in faults)
    return draw_engine(start(complaint).model, LEVELS[level], seed, wanted)


def practice(*faults: str, level: int = 1, seed: int = 0, complaint: str = "will-not-start") -> Practice:
    return Practice(engine(level, seed, faults, complaint), start(complaint))


def exercise(level: int = 1, complaint: str = "will-not-start") -> Exercise:
    return from_complaint(library(), EventId(complaint), library().machines[MachineId("moped")], level)
