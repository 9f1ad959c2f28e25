"""A tiny library without problems, for tests that spoil it; and what is wrong with it once spoilt.

Invented, like all data of the tests: a moped of the hill-town courier co-op with two faults.
"""

from __future__ import annotations

from pathlib import Path

from kickover.authoring.loading import load_library
from kickover.core.problem import Problem
from kickover.model.library import Library

BASE = {
    "heading.yaml": """\
library: {title: Tiny, version: "1.0"}
settings:
  rates: {common: 3, rare: 0.3}
trees:
  ignition: {title: Ignition, tops: [no-spark]}
""",
    "tree.yaml": """\
complaints:
  will-not-start:
    title: It will not start
    words: [dead]
    gate: or
    of: [no-spark, {event: low-compression, chance: 0.6}]
    implies: [engine-cold]
    proof: {ask: 'Does it start?', minutes: 1, hazards: [moving-parts]}
events:
  no-spark:
    title: No spark
    gate: or
    of: [plug-fouled, switch-shorted]
  low-compression:
    title: Low compression
    gate: and
    of: [rings-worn, engine-cold]
causes:
  plug-fouled: {title: Plug fouled, rate: common, source: estimate}
  switch-shorted: {title: Switch shorted, rate: 2, only_if: kill-wire}
  rings-worn: {title: Rings worn, rate: rare, factors: {engine-cold: 2}}
situation:
  engine-hot: {title: Hot, ask: 'Is it hot?', excludes: [engine-cold]}
  engine-cold: {title: Cold, ask: 'Is it cold?', excludes: [engine-hot], wait: 20, how: Wait.}
""",
    "work.yaml": """\
checks:
  spark-at-plug:
    title: Spark at the plug
    kind: try
    ask: What does the spark look like?
    findings:
      strong: Strong
      none: None at all
    expect:
      - {when: no-spark, chances: {none: 0.9, strong: 0.1}}
      - {chances: {none: 0.05, strong: 0.95}}
    minutes: 3
    needs: [plug-out]
    not_during: [fuel-vapour]
    hazards: [high-voltage]
  switch-off-lead:
    title: Switch lead off
    kind: look
    ask: Does it spark with the lead off?
    observes: switch-shorted
    abnormal: yes
    false_alarm: 0.02
    miss: 0.05
    minutes: 2
    hazards: [high-voltage]
  compression:
    title: Compression
    kind: measure
    ask: What does the gauge show?
    reading:
      unit: bar
      error: {share: 0.05}
      least: 0 bar
      most: 20 bar
      bands:
        - {finding: low, title: Low, below: {figure: good-pressure, times: 0.8}}
        - {finding: good, title: Good, from: {figure: good-pressure, times: 0.8}}
    expect:
      - {when: low-compression, chances: {low: 0.9, good: 0.1}}
      - {chances: {low: 0.05, good: 0.95}}
    minutes: 5
    tools: [gauge]
    needs: [plug-out]
repairs:
  new-plug:
    title: New plug
    roadside: false
    cures: [plug-fouled]
    how: [Fit a new plug.]
    minutes: 5
    spares: [plug]
    needs: [plug-out]
  new-switch:
    title: New switch
    roadside: false
    cures: [switch-shorted]
    how: [Fit a new switch.]
    minutes: 9
  new-rings:
    title: New rings
    roadside: false
    cures: [rings-worn]
    how: [Fit new rings.]
    minutes: 60
""",
    "ground.yaml": """\
setups:
  plug-out: {title: Plug out, how: [Unscrew it.], minutes: 3, tools: [socket], shown_at: [plug]}
  brakes-looked-over: {title: Brakes, how: [Pull them.], minutes: 3}
dangers:
  fuel-vapour: {title: Vapour, how: [Wait.], minutes: 5, hazards: [fuel-vapour-fire]}
hazards:
  fuel-vapour-fire: {title: Fire, caution: No flame.}
  high-voltage: {title: High voltage, caution: Hands off.}
  moving-parts: {title: Moving parts, caution: Hands off.}
  hot-parts: {title: Hot parts, caution: Let it cool.}
  road: {title: Road, caution: Helmet on.}
  pressure: {title: Pressure, caution: Cover your eyes.}
sources:
  estimate: {title: Our estimate, kind: estimate}
tools:
  socket: {title: Socket, grams: 100, litres: 0.1, price: 5}
  gauge: {title: Gauge, grams: 300, litres: 0.4, price: 20}
spares:
  plug: {title: Plug, grams: 50, litres: 0.1, price: 4}
traits:
  two-stroke: {title: Two-stroke, group: stroke}
  four-stroke: {title: Four-stroke, group: stroke}
  kill-wire: {title: Kill wire, group: stopping}
figures:
  good-pressure: {title: Good pressure, unit: bar, assumed: [{value: 7 bar}]}
""",
    "drawings.yaml": """\
drawings:
  head:
    title: The head
    size: [100, 60]
    lines: [[[10, 10], [90, 10]]]
    symbols: [{symbol: gap, at: [40, 20], turn: 90}]
    places:
      plug: {title: Plug, at: [20, 30], to: [40, 30]}
symbols:
  gap: {title: Gap, lines: [[[0, 0], [8, 0]], [[12, 0], [20, 0]]]}
""",
    "moped.yaml": """\
machine:
  id: moped
  title: Moped
  invented: true
  traits: [two-stroke, kill-wire]
  figures: {good-pressure: 8 bar}
""",
    "pouch.yaml": """\
kit: {id: pouch, title: Pouch, items: [socket, plug]}
""",
}


def write_library(folder: Path, **changes: str) -> Path:
    """Write the base library into a folder. `changes` are further files by name without ending."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in {**BASE, **{f"{name}.yaml": text for name, text in changes.items()}}.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def spoil(folder: Path, file: str, old: str, new: str) -> Path:
    """Write the base library with `old` in one of its files replaced by `new`, which must be there once."""
    text = BASE[file]
    assert text.count(old) == 1, f"{old!r} is {text.count(old)} times in {file}"
    write_library(folder)
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return folder


def problems_in(folder: Path) -> list[str]:
    """The problems of a library, one line each, with the file names relative to its folder."""
    return [said(problem, folder) for problem in load_library(folder)[1]]


def said(problem: Problem, folder: Path) -> str:
    """A problem as it is printed, its file relative to the folder."""
    return str(problem).replace(f"{folder}/", "")


def base_library(folder: Path) -> Library:
    """The base library, loaded."""
    library, problems = load_library(write_library(folder))
    assert problems == ()
    assert library is not None
    return library
