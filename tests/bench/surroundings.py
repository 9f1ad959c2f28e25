"""What the numbers were measured on: the machine, Python, numpy and its linear algebra."""

from __future__ import annotations

import os
import platform
from pathlib import Path

import numpy as np


def surroundings() -> str:
    """Two lines that head the table."""
    blas = np.show_config(mode="dicts")["Build Dependencies"]["blas"]
    threads = os.environ.get("OPENBLAS_NUM_THREADS", "all")
    return (
        f"{_processor()}, {os.cpu_count()} cores, {platform.system()} {platform.release()}\n"
        f"Python {platform.python_version()}, numpy {np.__version__}, "
        f"BLAS {blas['name']} {blas['version']} with {threads} threads"
    )


def _processor() -> str:
    told = Path("/proc/cpuinfo")
    lines = told.read_text(encoding="utf-8").splitlines() if told.is_file() else []
    named = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return named[0] if named else platform.processor() or platform.machine()
