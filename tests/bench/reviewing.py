"""The review of a library by itself, as it grows."""

from __future__ import annotations

import tempfile
from functools import partial
from pathlib import Path
from time import process_time

from bench.table import Row, at_most, exponent, seconds
from bench.tidy import tidy
from kickover.authoring.validate.reviews import review

SIZES = (1000, 2000, 4000, 8000)


def rows() -> list[Row]:
    """The time of a review for each number of causes, each with a check and a repair, and how it grows."""
    found: list[Row] = []
    times: list[float] = []
    with tempfile.TemporaryDirectory() as place:
        for causes in SIZES:
            library = tidy(Path(place) / str(causes), causes)
            times.append(seconds(partial(review, library), 3, process_time))
            found.append(Row(f"review of {causes} causes, checks and repairs", f"{times[-1]:.2f} s"))
    return [*found, at_most("  grows with causes to the power of", exponent(SIZES, times), 1.3)]
