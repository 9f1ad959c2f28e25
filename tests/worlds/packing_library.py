"""A small library for tests of packing: the tiny one of the loader's tests, with more work and service."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from kickover.authoring.loading import load_or_raise
from kickover.core.ids import MachineId
from kickover.model.library import Library, Machine
from kickover.packing.advice import Packer
from kickover.packing.coverings import coverings
from kickover.packing.strandings import strandings
from worlds.tiny_library import BASE, write_library

MORE = """\
complaints:
  rattles:
    title: It rattles
    words: [noise]
    gate: or
    of: [cover-loose, axle-loose]
    implies: [engine-cold]
    proof: {ask: 'Is it quiet?', minutes: 1, hazards: [moving-parts]}
causes:
  cover-loose: {title: Cover loose, rate: common}
  axle-loose: {title: Axle loose, rate: 1.5, ride: false}
checks:
  axle-feel:
    title: Axle by hand
    kind: look
    ask: Does the axle move?
    observes: axle-loose
    abnormal: yes
    false_alarm: 0.02
    miss: 0.05
    minutes: 1
    tools: [glove]
repairs:
  tape-switch:
    title: Tape the switch lead
    roadside: true
    cures: [switch-shorted]
    how: [Tape it.]
    minutes: 30
    spares: [tape]
  tighten-cover: {title: Tighten the cover, roadside: false, cures: [cover-loose], how: [Turn.], minutes: 2}
  tighten-axle:
    title: Tighten the axle
    roadside: false
    cures: [axle-loose]
    how: [Turn.]
    minutes: 18
    tools: [spanner]
tools:
  spanner: {title: Spanner, grams: 200, litres: 0.2, price: 9}
  glove: {title: Glove, grams: 40, litres: 0.1, price: 3}
spares:
  tape: {title: Tape, grams: 30, litres: 0.05, price: 2}
service:
  tight:
    title: Tighten the axle
    hours: 20
    minutes: 4
    prevents: {axle-loose: 0.5}
    tools: [spanner]
  renew-plug:
    title: Fit a new plug
    hours: 100
    months: 12
    minutes: 5
    prevents: {plug-fouled: 0.6}
    spares: [plug]
    figures: [good-pressure]
"""


@cache
def library() -> Library:
    folder = write_library(Path(mkdtemp()), more=MORE)
    tree = BASE["tree.yaml"].replace("    words: [dead]\n", "    words: [dead]\n    strands: true\n")
    (folder / "tree.yaml").write_text(tree, encoding="utf-8")
    return load_or_raise(folder)


def machine() -> Machine:
    return library().machines[MachineId("moped")]


@cache
def packer(quick: float = 45.0) -> Packer:
    return Packer(library(), coverings(library(), machine(), strandings(library(), machine()), quick=quick))
