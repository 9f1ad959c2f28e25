"""`kickover doctor`: whether everything that the program stands on is sound, each with what to do."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

import click

from kickover.authoring.cache import LEAST_FREE
from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.cli.context import (
    cache_folder,
    cases_file,
    faults_file,
    json_option,
    learners_folder,
    machines_folder,
    print_json,
    walks_folder,
)
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
def doctor(library: Path | None, as_json: bool) -> int:
    """Look the installation over: library, places, programs, fonts, encoding, terminal.

    Exit code 1 when something is to be done.
    """
    findings = list(looked_over(library or shipped_folder()))
    if as_json:
        print_json([{"ok": not one.todo, **asdict(one)} for one in findings])
    else:
        for one in findings:
            click.echo(f"{'ok  ' if not one.todo else 'TO DO'} {one.subject}: {one.found}".rstrip())
            if one.todo:
                click.echo(f"      {one.todo}")
    return int(any(one.todo for one in findings))


def looked_over(library: Path, which: Callable[[str], str | None] = shutil.which) -> Iterator[Finding]:
    """Everything that is looked at; `which` finds programs on the search path."""
    yield _library(library)
    yield _cache(cache_folder())
    for subject, place in _PLACES.items():
        yield _place(subject, place())
    yield _walks(walks_folder())
    yield _dot(which)
    yield _chromium(which)
    yield _fonts()
    yield _encoding()
    yield _width()


_PLACES: dict[str, Callable[[], Path]] = {
    "walks": walks_folder,
    "machines": machines_folder,
    "cases": cases_file,
    "drills": learners_folder,
    "log of faults": faults_file,
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
    free = shutil.disk_usage(_standing(folder)).free
    if free < LEAST_FREE:
        return Finding(
            "cache", f"{folder}: {free // 1_000_000} MB free, nothing is cached", "make room on the disk"
        )
    kept = len(list(folder.glob("*.json"))) if folder.is_dir() else 0
    return Finding("cache", f"{folder}: {kept} kept, {free // 1_000_000} MB free")


def _place(subject: str, place: Path) -> Finding:
    """A file or folder of a person's own: only they may read and write it."""
    if not place.exists():
        return Finding(subject, f"{place}: not there yet, it is made when needed")
    if others := place.stat().st_mode & 0o077:
        may = "write here" if others & 0o022 else "read it"
        return Finding(subject, f"{place}: others may {may}", f"run `chmod go-rwx '{place}'`")
    return Finding(subject, f"{place}: yours alone")


def _standing(place: Path) -> Path:
    """The nearest folder above a place that is there."""
    return next(one for one in (place, *place.parents) if one.is_dir())


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


def _chromium(which: Callable[[str], str | None]) -> Finding:
    found = which("chromium")
    return Finding("chromium", found or "not found; only the tests of pages need it")


def _fonts() -> Finding:
    """The fonts that PDF embeds, loaded as for a page."""
    try:
        text.use_fonts()
    except (KickoverError, OSError, ImportError) as error:
        return Finding("fonts for PDF", str(error), "install pymupdf-fonts again")
    return Finding("fonts for PDF", f"{text.REGULAR}, {text.BOLD}")


def _encoding() -> Finding:
    name = _encoding_name()
    if "utf" not in name.lower():
        return Finding("encoding", name, "set LANG to a UTF-8 locale such as C.UTF-8; signs are replaced now")
    return Finding("encoding", name)


def _encoding_name() -> str:
    return sys.stdout.encoding or "none"


def _width() -> Finding:
    columns = shutil.get_terminal_size().columns
    if columns < LEAST_WIDTH:
        return Finding("width", f"{columns} columns", f"widen the window to {LEAST_WIDTH} or more")
    return Finding("width", f"{columns} columns")
