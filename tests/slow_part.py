"""Cases of which a few are run by default and all in the slow part."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest


def mostly_slow(cases: Iterable[Any], kept: int) -> list[Any]:
    """The first `kept` cases as they are, the others marked slow; a tuple is a case of several arguments."""
    return [
        pytest.param(
            *(case if isinstance(case, tuple) else (case,)), marks=() if place < kept else pytest.mark.slow
        )
        for place, case in enumerate(cases)
    ]
