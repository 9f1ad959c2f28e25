"""A library of middling size without problems: two machines, three complaints, twelve causes.

Invented, like all data of the tests: the workshop of the hill-town courier co-op.
"""

from __future__ import annotations

from pathlib import Path

from kickover.authoring.loading import load_or_raise
from kickover.model.library import Library
from worlds.tiny_library import BASE

TREE = """\
complaints:
  will-not-start:
    title: It will not start
    words: [start]
    gate: or
    of: [no-spark, {event: weak-spark, chance: 0.4}, {event: no-fuel, chance: 0.9}, flooded]
    proof: {ask: Does it start?, minutes: 1, hazards: [moving-parts]}
  runs-badly:
    title: It runs badly
    words: [badly]
    gate: or
    of:
      - {event: weak-spark, chance: 0.7}
      - {event: no-fuel, chance: 0.5}
      - {event: flooded, chance: 0.2}
      - air-leak
    proof: {ask: Does it run well?, minutes: 1, hazards: [moving-parts]}
  smokes:
    title: It smokes
    words: [smokes]
    gate: or
    of: [{event: flooded, chance: 0.3}, oil-burnt]
    proof: {ask: Does it still smoke?, minutes: 1, hazards: [moving-parts]}
events:
  no-spark: {title: No spark, gate: or, of: [switch-shorted, coil-dead, {event: plug-fouled, chance: 0.6}]}
  weak-spark: {title: Weak spark, gate: or, of: [plug-fouled, gap-wide, points-dirty]}
  no-fuel: {title: No fuel, gate: or, of: [tap-shut, jet-blocked, hose-kinked]}
  flooded: {title: Flooded, gate: or, of: [choke-left-on, needle-stuck]}
  oil-burnt: {title: Oil burnt, gate: or, of: [rings-worn, mix-rich]}
causes:
  switch-shorted: {title: Switch shorted, rate: common, only_if: kill-wire}
  coil-dead: {title: Coil dead, rate: 1}
  plug-fouled: {title: Plug fouled, rate: 8}
  gap-wide: {title: Gap wide, rate: common}
  points-dirty: {title: Points dirty, rate: 2, only_if: two-stroke, factors: {stood-months: 3}}
  tap-shut: {title: Tap shut, rate: 4}
  jet-blocked: {title: Jet blocked, rate: common, factors: {stood-months: 4}}
  hose-kinked: {title: Hose kinked, rate: 1}
  choke-left-on: {title: Choke left on, rate: 5}
  needle-stuck: {title: Needle stuck, rate: 2, factors: {stood-months: 2}}
  air-leak: {title: Air leak, rate: 2}
  rings-worn: {title: Rings worn, rate: 1}
  mix-rich: {title: Mix too rich, rate: 2, only_if: two-stroke}
situation:
  stood-months: {title: It stood for months, ask: Did it stand for months?}
"""

WORK = """\
checks:
  spark-at-plug:
    title: Spark at the plug
    kind: try
    ask: What does the spark look like?
    findings: {strong: Strong, weak: Weak, none: None at all}
    expect:
      - {when: no-spark, chances: {none: 0.85, weak: 0.1, strong: 0.05}}
      - {when: weak-spark, chances: {none: 0.1, weak: 0.75, strong: 0.15}}
      - {chances: {none: 0.04, weak: 0.06, strong: 0.9}}
    minutes: 3
    not_during: [fuel-vapour]
    hazards: [high-voltage]
  plug-look:
    title: Look at the plug
    kind: look
    ask: How does the plug look?
    findings: {wet: Wet, sooty: Sooty, clean: Clean}
    expect:
      - {when: plug-fouled, chances: {wet: 0.2, sooty: 0.7, clean: 0.1}}
      - {when: flooded, chances: {wet: 0.8, sooty: 0.1, clean: 0.1}}
      - {chances: {wet: 0.1, sooty: 0.15, clean: 0.75}}
    minutes: 2
  lead-off:
    title: Stop lead off
    kind: try
    ask: Does it spark with the stop lead off?
    observes: switch-shorted
    abnormal: yes
    false_alarm: 0.05
    miss: 0.1
    minutes: 2
    not_during: [fuel-vapour]
    hazards: [high-voltage]
  fuel-at-hose:
    title: Fuel at the hose
    kind: look
    ask: Does fuel run from the hose?
    observes: no-fuel
    abnormal: no
    false_alarm: 0.08
    miss: 0.12
    minutes: 2
    leaves: [fuel-vapour]
    hazards: [fuel-vapour-fire]
  points-look:
    {title: Points, kind: look, ask: Are they dirty?, observes: points-dirty, abnormal: yes, false_alarm: 0.1,
     miss: 0.1, minutes: 9, only_if: two-stroke}
  choke-look:
    {title: Choke, kind: look, ask: Is it on?, observes: choke-left-on, abnormal: yes, false_alarm: 0.02,
     miss: 0.05, minutes: 0.5}
  tap-look:
    title: Look at tap and hose
    kind: look
    ask: How are they?
    findings: {shut: The tap is shut, kinked: The hose is kinked, right: Both are right}
    expect:
      - {when: tap-shut, chances: {shut: 0.9, kinked: 0.02, right: 0.08}}
      - {when: hose-kinked, chances: {shut: 0.02, kinked: 0.8, right: 0.18}}
      - {chances: {shut: 0.02, kinked: 0.03, right: 0.95}}
    minutes: 1
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
        - {finding: low, title: Low, below: 6.4 bar}
        - {finding: good, title: Good, from: 6.4 bar}
    expect:
      - {when: rings-worn, chances: {low: 0.9, good: 0.1}}
      - {chances: {low: 0.05, good: 0.95}}
    minutes: 5
    tools: [gauge]
"""


def _repairs() -> str:
    cures = {
        "new-plug": ["plug-fouled", "gap-wide"],
        "new-switch": ["switch-shorted"],
        "new-coil": ["coil-dead"],
        "clean-points": ["points-dirty"],
        "open-tap": ["tap-shut"],
        "clean-jet": ["jet-blocked", "needle-stuck"],
        "new-hose": ["hose-kinked"],
        "open-choke": ["choke-left-on"],
        "new-gasket": ["air-leak"],
        "new-rings": ["rings-worn"],
        "new-mix": ["mix-rich"],
    }
    lines = ["repairs:"]
    for name, causes in cures.items():
        rest = f"cures: [{', '.join(causes)}], how: [Do it.], minutes: 9"
        lines.append(f"  {name}: {{title: {name}, roadside: false, {rest}}}")
    return "\n".join(lines) + "\n"


FILES = {
    "heading.yaml": """\
library: {title: Shop, version: "1.0"}
settings: {rates: {common: 3, rare: 0.3}}
""",
    "tree.yaml": TREE,
    "work.yaml": WORK,
    "repairs.yaml": _repairs(),
    "ground.yaml": BASE["ground.yaml"],
    "drawings.yaml": BASE["drawings.yaml"],
    "moped.yaml": BASE["moped.yaml"],
    "step.yaml": "machine: {id: step-through, title: Step-through, invented: true, traits: [four-stroke]}\n",
    "pouch.yaml": BASE["pouch.yaml"],
}


def write_shop(folder: Path) -> Path:
    """Write the library into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def shop_library(folder: Path) -> Library:
    """The library, loaded."""
    return load_or_raise(write_shop(folder))
