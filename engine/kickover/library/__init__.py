"""The library of faults: what it says (model), how it is read from YAML, and whether it makes sense."""

from kickover.library.files import content_version, shipped_folder
from kickover.library.load import load_library, load_or_raise
from kickover.library.review import review

__all__ = ["content_version", "load_library", "load_or_raise", "review", "shipped_folder"]
