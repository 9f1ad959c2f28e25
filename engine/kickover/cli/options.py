"""Options that several commands take: declared once, with one wording and the same names offered on Tab."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

import click

from kickover.cli.completing import names_of
from kickover.cli.context import keep
from kickover.cli.person_settings import PAPERS
from kickover.units import QuantityError, parse

F = TypeVar("F", bound=Callable[..., Any])

MOST = 1e9
"""No option of a command means anything beyond this."""


class FiniteRange(click.FloatRange):
    """A number of an option: finite, and in its range. Whatever else is typed is wrong usage."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read the number; BadParameter for one that is not finite, too large, or out of range."""
        number = super().convert(value, param, ctx)
        if not isfinite(number) or abs(number) > MOST:
            self.fail(f"{value!r} is no number to work with; write one up to {MOST:g}", param, ctx)
        return float(number)


class AmountIn(FiniteRange):
    """An amount of an option, none or more, in a unit: a bare number, or with a unit, `1.5 kg`."""

    def __init__(self, unit: str) -> None:
        super().__init__(min=0)
        self.unit = unit

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read the amount; BadParameter for one that cannot be read or is out of range."""
        try:
            number = parse(str(value), default_unit=self.unit).within(self.unit)
        except QuantityError as error:
            self.fail(str(error), param, ctx)
        return super().convert(number, param, ctx)


class OutputFile(click.Path):
    """A file to be written, whose name ends in one of the forms that the command can make."""

    def __init__(self, forms: tuple[str, ...]) -> None:
        super().__init__(dir_okay=False, path_type=Path)
        self.forms = forms

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read the name; BadParameter when it ends in none of the forms."""
        file = Path(str(super().convert(value, param, ctx)))
        if form_of(file) not in self.forms:
            endings = ("one of " if len(self.forms) > 1 else "") + ", ".join(f".{one}" for one in self.forms)
            self.fail(f"{file}: cannot tell what to write; end its name in {endings}", param, ctx)
        return file


def form_of(file: Path) -> str:
    """The form that the name of a file asks for."""
    return file.suffix.lower().removeprefix(".")


def _as_date(_context: click.Context, _option: click.Parameter, value: str | None) -> str:
    try:
        return "" if value is None else date.fromisoformat(value).isoformat()
    except ValueError:
        raise click.BadParameter(f"{value!r} is no date; write it as 2026-03-31") from None


def library(command: F) -> F:
    """Add `--library DIR`, and `--overlay FILE` as often as wanted: what `open_library` opens."""
    overlays = click.option(
        "--overlay",
        multiple=True,
        expose_value=False,
        callback=keep,
        type=click.Path(exists=True, path_type=Path),
        help="Learned rates: a file or folder with rates and error rates to be laid over the library.",
    )
    folder = click.option(
        "--library",
        expose_value=False,
        callback=keep,
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="A folder of faults to use instead of the shipped one.",
    )
    return folder(overlays(command))


def output(
    *forms: str, what: str, flags: tuple[str, ...] = ("-o", "--output"), **more: Any
) -> Callable[[F], F]:
    """Add `-o FILE`, or other flags, for a file of one of `forms`; `what` says what is written there."""
    metavar = f"FILE.{'|'.join(forms)}"
    return click.option(*flags, type=OutputFile(forms), metavar=metavar, help=what, **more)


def paper(papers: Iterable[str] = PAPERS) -> Callable[[F], F]:
    """Add `--paper`."""
    choice = click.Choice(tuple(papers))
    return click.option("--paper", type=choice, default="a4", help="The sheet of a PDF.")


def name(flag: str, kind: str, what: str, *flags: str, **more: Any) -> Callable[[F], F]:
    """Add an option that takes a name of one kind, which Tab completes; `kind` is as in `kickover list`."""
    return click.option(flag, *flags, shell_complete=names_of(kind), help=what, **{"metavar": "NAME", **more})


def number(flag: str, what: str, low: float = 0, high: float | None = None, **more: Any) -> Callable[[F], F]:
    """Add an option that is a finite number in a range."""
    return click.option(flag, type=FiniteRange(low, high), help=what, **more)


def machine(*, required: bool = False) -> Callable[[F], F]:
    """Add `--machine`."""
    what = "A machine of the library, one of your own, or a file of one."
    return name("--machine", "machines", what, required=required, metavar="NAME|FILE")


def kit(*also: str) -> Callable[[F], F]:
    """Add `--kit`, under other flags too."""
    what = "Tools and spares at hand: a kit of the library, or a file of one."
    return name("--kit", "kits", what, *also, "kit", metavar="NAME|FILE")


def day(flag: str, what: str) -> Callable[[F], F]:
    """Add an option that is a date, as ISO text; empty where it is not given."""
    return click.option(flag, callback=_as_date, metavar="DATE", help=what)


def seed(default: int | None = None) -> Callable[[F], F]:
    """Add `--seed`."""
    what = "The same seed gives the same engines and numbers."
    return click.option("--seed", type=click.IntRange(0), default=default, help=what)


plain = click.option("--plain", is_flag=True, help="Plain lines: no colour, no cursor movement.")
given = name("--given", "situations", "Something that is true of the situation.", multiple=True)
saw = name(
    "--saw",
    "checks",
    "A finding, `~guess` or `~fairly` and `@EVENT` may follow; or what was seen, in plain words.",
    metavar="CHECK=FINDING",
    multiple=True,
)
give_up = number("--give-up", "What giving up costs, in minutes.")
cause = name("--cause", "causes", "What it was: A, or A+B for both at once, or A/B for one of them.")
minutes = number("--minutes", "How long it took.")
