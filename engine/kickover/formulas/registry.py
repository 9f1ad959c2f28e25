"""Every formula under its name, so that authored trees and the command line can name them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from kickover.formulas import (
    air,
    bolts,
    compression,
    cylinder,
    electrics,
    flow,
    mixture,
    premix,
    resonance,
    road,
    threads,
    timing,
    vibration,
)
from kickover.formulas.formula import Formula

_SUBJECTS = (
    air,
    cylinder,
    compression,
    mixture,
    premix,
    flow,
    electrics,
    timing,
    threads,
    bolts,
    vibration,
    resonance,
    road,
)


@cache
def registry() -> Mapping[str, Formula]:
    """Map each formula's name to it, in the order of the subjects."""
    return MappingProxyType({formula.name: formula for subject in _SUBJECTS for formula in subject.FORMULAS})
