"""The lowest point of Paschen's curve, from its derivative: what the curve itself must never fall below."""

from __future__ import annotations

import math

from kickover.formulas.electrics import PASCHEN_A, PASCHEN_B


def paschen_minimum(emission: float) -> tuple[float, float]:
    """The lowest breakdown voltage in V, and the pressure times gap, in kPa·cm, at which it lies."""
    product = math.e * math.log(1 + 1 / emission) / PASCHEN_A
    return PASCHEN_B * product, product
