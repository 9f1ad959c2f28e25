"""The formulas of the field, each with its source, its units and the range in which it holds.

Use `compute(name, arguments)` for a worked result and `registry()` to see what there is. The package
reads no files and evaluates nothing that was authored as text.
"""

from kickover.formulas.computing import Argument, Result, compute, describe_range, find_formula, registry
from kickover.formulas.formula import FigureError, FigureRangeError, FigureUsageError, Formula, Parameter

__all__ = [
    "Argument",
    "FigureError",
    "FigureRangeError",
    "FigureUsageError",
    "Formula",
    "Parameter",
    "Result",
    "compute",
    "describe_range",
    "find_formula",
    "registry",
]
