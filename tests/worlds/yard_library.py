"""The shop library with what a walk meets besides: setups, heat, a road test, a stop, a meter that shows OL.

Invented, like all data of the tests: the yard of the hill-town courier co-op.
"""

from __future__ import annotations

from pathlib import Path

from kickover.authoring.loading import load_or_raise
from kickover.model.library import Library
from worlds.shop_library import FILES

YARD = """\
complaints:
  no-power:
    title: It has no power
    words: [weak, slow]
    gate: or
    of: [{event: air-leak, chance: 0.8}, chain-loose, coil-breaks-hot]
    implies: [engine-runs]
    proof:
      {ask: Does it pull?, how: [Ride it.], minutes: 8, needs: [brakes-looked-over], hazards: [road]}
  dies-hot:
    title: It dies when it gets hot
    words: [dies hot]
    gate: or
    of: [coil-breaks-hot, {event: air-leak, chance: 0.3}]
    implies: [engine-hot, engine-runs]
    proof: {ask: Does it last?, how: [Run it hot.], minutes: 9, hazards: [hot-parts, moving-parts]}
causes:
  chain-loose: {title: Chain loose, rate: 2, ride: false, prevention: Look at it each week.}
  coil-breaks-hot: {title: Coil breaks when hot, rate: 2, about: Its wire opens with heat.}
situation:
  engine-hot: {title: The engine is hot, ask: 'Is it hot?', excludes: [engine-cold]}
  engine-cold: {title: The engine is cold, ask: 'Is it cold?', excludes: [engine-hot], wait: 20, how: Wait.}
  engine-runs: {title: The engine runs, ask: Does it run?}
checks:
  chain-look:
    title: Look at the chain
    kind: look
    ask: How does the chain hang?
    findings:
      right: As it should
      loose: {title: It hangs down, words: [slack], stop: 'Do not ride: the chain can lock the wheel.'}
    expect:
      - {when: chain-loose, chances: {loose: 0.95, right: 0.05}}
      - {chances: {loose: 0.02, right: 0.98}}
    minutes: 1
  coil-ohms:
    title: Coil winding
    kind: measure
    ask: What does the meter show across the coil?
    how: [Plug cap off., Touch both ends.]
    reading:
      unit: ohm
      error: {share: 0.03}
      least: 0 ohm
      most: 100 kohm
      bands:
        - {finding: whole, title: Whole, below: 9 kohm}
        - {finding: open, title: Open, from: 9 kohm}
    expect:
      - {when: coil-breaks-hot, chances: {open: 0.9, whole: 0.1}}
      - {chances: {open: 0.03, whole: 0.97}}
    minutes: 3
    tools: [meter]
    needs: [plug-out]
    only_when: engine-hot
    not_during: [fuel-vapour]
    hazards: [high-voltage]
    sketch: |
      meter ---[ coil ]--- meter
  cold-gap:
    title: Gap of the plug
    kind: try
    ask: Is the gap wide?
    observes: gap-wide
    abnormal: yes
    false_alarm: 0.05
    miss: 0.1
    minutes: 2
    needs: [plug-out]
    only_when: engine-cold
repairs:
  hitch-chain:
    title: Hitch the chain up
    roadside: true
    cures: [chain-loose]
    how: [Move the wheel back.]
    lasts: a ride home
    minutes: 4
    tools: [socket]
  new-chain:
    {title: Fit a new chain, roadside: false, cures: [chain-loose], how: [Fit it.], minutes: 20,
     spares: [chain], torque: axle nuts 30 N·m, locking: new nuts, prevention: Oil it.}
  cool-coil:
    {title: Fit a new coil, roadside: false, cures: [coil-breaks-hot], how: [Fit it.], minutes: 15,
     hazards: [high-voltage]}
tools:
  meter: {title: Meter, grams: 200, litres: 0.2, price: 20}
spares:
  chain: {title: Chain, grams: 700, litres: 0.3, price: 15}
traits:
  magneto: {title: Magneto, group: ignition}
  points: {title: Contact points, group: ignition}
  kick: {title: Kick starter, group: start}
  rope: {title: Rope starter, group: start}
"""

CLIP_ON = """\
machine:
  id: unknown-two-stroke
  title: An unknown two-stroke
  traits: [two-stroke, kill-wire, magneto, kick]
"""


def write_yard(folder: Path) -> Path:
    """Write the library into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    work = FILES["work.yaml"].replace("6.4 bar", "{figure: good-pressure, times: 0.8}")
    assert work != FILES["work.yaml"]
    road = "brakes-looked-over: {title: Brakes, how: [Pull them.], minutes: 3"
    ground = FILES["ground.yaml"].replace(road, f"{road}, hazards: [road]")
    assert ground != FILES["ground.yaml"]
    changed = {"work.yaml": work, "ground.yaml": ground, "yard.yaml": YARD, "unknown.yaml": CLIP_ON}
    for name, text in {**FILES, **changed}.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def yard_library(folder: Path) -> Library:
    """The library, loaded."""
    return load_or_raise(write_yard(folder))
