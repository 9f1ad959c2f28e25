"""The library of faults: what it says (model), how it is read from YAML, and whether it makes sense."""

from kickover.library.files import content_version, shipped_folder
from kickover.library.load import load_kit, load_library, load_machine, load_or_raise

__all__ = [
    "content_version",
    "load_kit",
    "load_library",
    "load_machine",
    "load_or_raise",
    "shipped_folder",
]
