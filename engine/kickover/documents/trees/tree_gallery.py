"""All trees of a library as a folder of SVG files, and which of them are out of date.

Each file carries the digest of the DOT text that it was drawn from, so that it can be judged without a
renderer, and whichever renderer drew it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from kickover.core.atomic_file import write_file
from kickover.documents.renderer import Program, render
from kickover.documents.trees.fault_tree import draw_tree
from kickover.model.library import Library

_MARK = re.compile(rb"<!-- drawn from DOT with SHA-256 ([0-9a-f]{64}) -->\n?")


def all_trees(library: Library) -> dict[str, str]:
    """The DOT text of every named tree of a library, by file names without suffix: `tree-ignition`."""
    return {f"tree-{name}": draw_tree(library, name, named_tree=True).dot for name in library.trees}


def digest(dot: str) -> str:
    """What marks a drawing as made from `dot`."""
    return hashlib.sha256(dot.encode()).hexdigest()


def marked(svg: bytes, dot: str) -> bytes:
    """`svg` with the digest of its DOT text as a comment at its end."""
    return svg.rstrip() + f"\n<!-- drawn from DOT with SHA-256 {digest(dot)} -->\n".encode()


def stale(folder: Path, wanted: Mapping[str, str]) -> tuple[str, ...]:
    """Names of files in `folder` that are missing, out of date, or no longer wanted."""
    held = {path.stem: path for path in sorted(folder.glob("*.svg"))}
    return tuple(
        sorted(
            [
                name
                for name, dot in wanted.items()
                if name not in held or _digest_in(held[name]) != digest(dot)
            ]
            + [name for name in held if name not in wanted and _digest_in(held[name])]
        )
    )


def _digest_in(path: Path) -> str:
    found = _MARK.search(path.read_bytes())
    return found.group(1).decode() if found else ""


def renew(folder: Path, wanted: Mapping[str, str], program: Program | None = None) -> Iterator[str]:
    """Draw again what is stale in `folder`, and remove drawings of ours that are no longer wanted.

    Yields each name as it is done. Raises RenderError or OutputError.
    """
    for name in stale(folder, wanted):
        path = folder / f"{name}.svg"
        if name in wanted:
            write_file(path, marked(render(wanted[name], "svg", program), wanted[name]))
        else:
            path.unlink()
        yield name
