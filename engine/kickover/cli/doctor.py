"""`kickover doctor`: whether everything that the program stands on is sound, each with what to do."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from itertools import chain
from pathlib import Path

import click

from kickover.authoring.cache import LEAST_FREE
from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.cli import context
from kickover.cli.output import answer, json_option
from kickover.cli.saved import records
from kickover.core.problem import KickoverError
from kickover.documents import text
from kickover.documents.renderer import bundled_dot, system_dot

LEAST_WIDTH = 40
"""Columns that every screen fits into."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at: what was found, and what to do; `todo` is empty when it is well."""

    subject: str
    found: str
    todo: str = ""


@click.command()
@click.option("--library", type=click.Path(path_type=Path), help="A folder of faults to look over instead.")
@json_option
def doctor(library: Path | None) -> int:
    """Look the installation over: library, places, programs, fonts, encoding, terminal.

    Exit code 1 when something is to be done.
    """
    findings = list(looked_over(library or shipped_folder()))
    answer(
        [{"ok": not one.todo, **asdict(one)} for one in findings], chain.from_iterable(map(_lines, findings))
    )
    return int(any(one.todo for one in findings))


def _lines(one: Finding) -> Iterator[str]:
    yield f"{'TO DO' if one.todo else 'ok  '} {one.subject}: {one.found}".rstrip()
    if one.todo:
        yield f"      {one.todo}"


def looked_over(library: Path, which: Callable[[str], str | None] = shutil.which) -> Iterator[Finding]:
    """Everything that is looked at; `which` finds programs on the search path."""
    yield _library(library)
    yield _cache(context.cache_folder())
    for subject, place in _PLACES.items():
        yield _place(subject, place())
    yield _walks(context.walks_folder())
    yield _dot(which)
    yield Finding("chromium", which("chromium") or "not found; only the tests of pages need it")
    yield _fonts()
    encoding, columns = sys.stdout.encoding or "none", shutil.get_terminal_size().columns
    is_wide, is_utf = columns >= LEAST_WIDTH, "utf" in encoding.lower()
    to_utf = "set LANG to a UTF-8 locale such as C.UTF-8; signs are replaced now"
    yield Finding("encoding", encoding, "" if is_utf else to_utf)
    yield Finding(
        "width", f"{columns} columns", "" if is_wide else f"widen the window to {LEAST_WIDTH} or more"
    )


_PLACES: dict[str, Callable[[], Path]] = {
    "walks": context.walks_folder,
    "machines": context.machines_folder,
    "cases": context.cases_file,
    "settings": context.settings_file,
    "drills": context.learners_folder,
    "log of faults": context.faults_file,
}


def _library(folder: Path) -> Finding:
    found, problems = load_library(folder)
    if found is None or problems:
        return Finding("library", f"{folder}: {len(problems)} problems", f"run `kickover check {folder}`")
    return Finding("library", f"{found.title}, version {found.version}, in {folder}")


def _cache(folder: Path) -> Finding:
    """The cache: a place of one's own, with room left on its disk; it is made when it is first needed."""
    finding = _place("cache", folder)
    if finding.todo:
        return finding
    free = shutil.disk_usage(next(one for one in (folder, *folder.parents) if one.is_dir())).free
    room = f"{folder}: {free // 1_000_000} MB free"
    if free < LEAST_FREE:
        return Finding("cache", f"{room}, nothing is cached", "make room on the disk")
    return Finding("cache", f"{room}, {len(list(folder.glob('*.json')))} kept")


def _place(subject: str, place: Path) -> Finding:
    """A file or folder of a person's own: only they may read and write it."""
    if not place.exists():
        return Finding(subject, f"{place}: not there yet, it is made when needed")
    if others := place.stat().st_mode & 0o077:
        may = "write here" if others & 0o022 else "read it"
        return Finding(subject, f"{place}: others may {may}", f"run `chmod go-rwx '{place}'`")
    return Finding(subject, f"{place}: yours alone")


def _walks(folder: Path) -> Finding:
    found, troubles = records(folder)
    if troubles:
        return Finding(
            "saved walks",
            f"{len(found)} can be read, {len(troubles)} cannot: {troubles[0]}",
            "delete what cannot be read with `kickover walks delete NAME`",
        )
    return Finding("saved walks", f"{len(found)} can be read")


def _dot(which: Callable[[str], str | None]) -> Finding:
    program = system_dot(which) or bundled_dot()
    if program is None:
        return Finding(
            "dot", "not found, so no tree can be drawn", "install Graphviz, or graphviz-pure by pip"
        )
    return Finding("dot", f"{program.path}{' (by pip)' if program.bundled else ''}")


def _fonts() -> Finding:
    """The fonts that PDF embeds, loaded as for a page."""
    try:
        text.use_fonts()
    except (KickoverError, OSError, ImportError) as error:
        return Finding("fonts for PDF", str(error), "install pymupdf-fonts again")
    return Finding("fonts for PDF", f"{text.REGULAR}, {text.BOLD}")
