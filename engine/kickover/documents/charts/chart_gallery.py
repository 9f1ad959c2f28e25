"""The charts of a library as a folder of pictures and sheets, and which of them are out of date.

To compile a chart takes seconds, so each file carries two digests: of the whole chart, and of its beginning
(the library's version, the worth of every first step, the first step in words and as drawn). The second is
quickly made again, and a change of the library, of the reasoning or of the drawing nearly always shows in it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kickover.core.atomic_file import write_file
from kickover.core.ids import EventId, ItemId, KitId, MachineId
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.charts.compiling import Printing, compile_chart
from kickover.documents.charts.pouch_card import pouch_card
from kickover.documents.charts.sheets import chart_pdf
from kickover.documents.renderer import Program, render
from kickover.model.library import Library, Machine
from kickover.session.session import Session, begin

MACHINES = (MachineId("clip-on-two-stroke"), MachineId("points-moped"))
"""The machines of which a picture, sheets and a card of every complaint are shipped."""
KIT = KitId("pouch")
LEAST_SHARE = 0.02
"""The shipped charts are cut sooner than a chart that is asked for, so that the folder stays small."""
_MARK = re.compile(rb"kickover chart ([0-9a-f]{64}) begun ([0-9a-f]{64})")


@dataclass(frozen=True, slots=True)
class ShippedChart:
    """A chart of which a picture, sheets and a card are kept."""

    complaint: EventId
    machine: Machine

    @property
    def files(self) -> Mapping[str, str]:
        """The name of its file for each form: `svg`, `sheets` and `card`."""
        return {
            "svg": f"chart-{self.complaint}-{self.machine.id}.svg",
            "sheets": f"sheets-{self.complaint}-{self.machine.id}.pdf",
            "card": f"card-{self.complaint}-{self.machine.id}.pdf",
        }

    def session(self, library: Library) -> Session:
        """The walk at its start: with the rider's pouch where the library has one."""
        kit: frozenset[ItemId] | None = library.kits[KIT].items if KIT in library.kits else None
        return begin(library, self.machine, (self.complaint,), frozenset(), kit)

    def printing(self, library: Library) -> Printing:
        """How it is printed."""
        at_hand = library.kits[KIT].title if KIT in library.kits else "every tool and spare"
        command = f"kickover walk {self.complaint} --machine {self.machine.id}"
        return Printing(LEAST_SHARE, kit=at_hand, command=command)


@dataclass(frozen=True, slots=True)
class Marks:
    """The digests of a whole chart and of its beginning."""

    chart: str
    begun: str

    def line(self) -> str:
        """What is written into a file."""
        return f"kickover chart {self.chart} begun {self.begun}"


def shipped_charts(library: Library) -> tuple[ShippedChart, ...]:
    """The charts that are kept of a library: every complaint on a machine that can have it."""
    machines = [library.machines[one] for one in MACHINES if one in library.machines]
    machines = machines or list(library.machines.values())[:2]
    return tuple(
        ShippedChart(complaint.id, machine)
        for complaint in library.complaints.values()
        for machine in machines
        if machine.fits(complaint.gate.only_if)
    )


def chart_digest(chart: Chart) -> str:
    """What marks a file as drawn from `chart`: all that it says, and how its flowchart is drawn."""
    return hashlib.sha256(f"{chart!r}\n{draw_chart(chart)}".encode(errors="replace")).hexdigest()


def begun_digest(shipped: ShippedChart, library: Library) -> str:
    """What marks a file as drawn by this library and this reasoning, as far as the first step shows them."""
    session = shipped.session(library)
    whole = shipped.printing(library)
    first = compile_chart(session, Printing(whole.least_share, 0, whole.kit, whole.command)).chart
    worth = [(option.kind, option.id, f"{option.expected:.6f}") for option in session.plan().options]
    return hashlib.sha256(f"{library.version} {worth} {chart_digest(first)}".encode()).hexdigest()


def stale_charts(folder: Path, library: Library) -> tuple[str, ...]:
    """Names of files of charts that are missing or out of date, by their beginnings; and unwanted ones."""
    names = []
    charts = shipped_charts(library)
    for shipped in charts:
        begun = begun_digest(shipped, library)
        names += [name for name in shipped.files.values() if _held(folder / name).begun != begun]
    return tuple(sorted([*names, *(path.name for path in _unwanted(folder, charts))]))


def renew_charts(
    folder: Path,
    library: Library,
    date: str,
    program: Program | None = None,
    tick: Callable[[], None] = lambda: None,
) -> Iterator[str]:
    """Draw again what is stale in `folder`, and remove our charts that are no longer wanted.

    Yields the name of each file as it is done. Raises RenderError or OutputError.
    """
    charts = shipped_charts(library)
    for path in _unwanted(folder, charts):
        path.unlink()
        yield path.name
    for shipped in charts:
        begun = begun_digest(shipped, library)
        if all(_held(folder / name).begun == begun for name in shipped.files.values()):
            continue
        chart = compile_chart(shipped.session(library), shipped.printing(library), tick).chart
        marks = Marks(chart_digest(chart), begun)
        for form, name in shipped.files.items():
            write_file(folder / name, _drawn(chart, form, date, marks, program))
            yield name


def held_digest(path: Path) -> str:
    """The digest of the whole chart that the file at `path` was drawn from; empty when it holds none."""
    return _held(path).chart


def _drawn(chart: Chart, form: str, date: str, marks: Marks, program: Program | None) -> bytes:
    if form == "svg":
        return render(draw_chart(chart), "svg", program).rstrip() + f"\n<!-- {marks.line()} -->\n".encode()
    pdf = chart_pdf(chart, date) if form == "sheets" else pouch_card(chart, date)
    return pdf.rstrip() + f"\n%{marks.line()}\n".encode()


def _held(path: Path) -> Marks:
    found = _MARK.search(path.read_bytes()) if path.is_file() else None
    return Marks(*(group.decode() for group in found.groups())) if found else Marks("", "")


def _unwanted(folder: Path, charts: tuple[ShippedChart, ...]) -> tuple[Path, ...]:
    wanted = {name for chart in charts for name in chart.files.values()}
    held = [path for path in sorted(folder.iterdir()) if path.suffix in (".svg", ".pdf")]
    return tuple(path for path in held if path.name not in wanted and _held(path).chart)
