"""The files of a library, or of an overlay, as documents with line numbers."""

from __future__ import annotations

from pathlib import Path

from kickover.library.files import about, library_files, read_bytes
from kickover.library.source import Document, read_document
from kickover.problem import Problem

MOST_BYTES_IN_ALL = 60_000_000


def read_folder(folder: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read every file of a library, in the order of their names; give also what is wrong with the folder."""
    paths, problems = library_files(folder)
    documents = []
    left = MOST_BYTES_IN_ALL
    for path in paths:
        match read_bytes(path):
            case bytes() as raw if len(raw) > left:
                mend = "name a folder that holds a library only"
                problems.append(about(folder, f"the files come to more than {MOST_BYTES_IN_ALL} bytes", mend))
                break
            case bytes() as raw:
                left -= len(raw)
                documents.append(read_document(raw, str(path)))
            case Problem() as problem:
                documents.append(Document(str(path), None, (problem,)))
    if not paths and not problems:
        problems = [
            about(folder, "there is no YAML file in this folder", "name a folder that holds `*.yaml` files")
        ]
    return tuple(documents), tuple(problems)


def read_overlay(path: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read an overlay: a folder of files like a library, or a single file."""
    if not path.is_file():
        return read_folder(path)
    match read_bytes(path):
        case bytes() as raw:
            return (read_document(raw, str(path)),), ()
        case Problem() as problem:
            return (), (problem,)
