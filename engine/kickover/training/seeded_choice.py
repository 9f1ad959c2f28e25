"""Chance that can be repeated: a number in (0, 1) for every seed and every matter that needs one.

The luck of one check does not depend on what was asked before it, so two people with the same seed who make
the same check see the same thing, on any computer. Numbers are taken from SHA-256 (FIPS 180-4).
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from statistics import NormalDist

_BITS = 53


def uniform(*matter: object) -> float:
    """A number strictly between 0 and 1 that is fixed by `matter`."""
    digest = sha256("/".join(str(one) for one in matter).encode()).digest()
    return ((int.from_bytes(digest[:8], "big") >> (64 - _BITS)) + 0.5) / 2.0**_BITS


def normal(*matter: object) -> float:
    """A number of the standard normal distribution that is fixed by `matter`."""
    return NormalDist().inv_cdf(uniform(*matter))


def drawn(weights: Sequence[float], *matter: object) -> int:
    """A place in `weights`, drawn in their proportion; their sum must be above 0."""
    left = uniform(*matter) * sum(weights)
    for place, weight in enumerate(weights):
        left -= weight
        if left < 0.0:
            return place
    return max(place for place, weight in enumerate(weights) if weight > 0.0)
