"""`kickover figure`: one formula of the field, worked out with its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path

import click

from kickover import formulas
from kickover.cli import options
from kickover.cli.completing import formula_names
from kickover.cli.context import open_library
from kickover.cli.failure import Failure, Kind, tell
from kickover.cli.output import answer, json_option, json_wanted
from kickover.core.atomic_file import write_file
from kickover.core.ids import FigureId
from kickover.documents.line_plot import Axis, line_plot
from kickover.documents.renderer import svg_to_pdf
from kickover.units import Quantity, QuantityError, parse, show

STEPS = 10


Rows = Sequence[tuple[Quantity, Mapping[str, Quantity]]]
"""Values of one parameter, each with what the formula gives there."""


@click.command()
@click.argument("name", shell_complete=formula_names, required=False)
@click.argument("arguments", nargs=-1, metavar="[KEY=VALUE]...")
@options.machine()
@click.option("--over", metavar="KEY=FROM..TO", help="Work it out at eleven values from one to the other.")
@options.output("svg", "pdf", what="With --over, draw the curve.")
@options.library
@json_option
@click.pass_context
def figure(
    context: click.Context,
    name: str | None,
    arguments: tuple[str, ...],
    machine: str | None,
    over: str | None,
    output: Path | None,
) -> None:
    """Work out one formula of the field, or list them all when none is named.

    Values may carry units: kickover figure cranking-pressure ratio=7 altitude='1450 m'. With --machine, what
    is not given is taken from that machine's figures. A name on its own shows what the formula needs if it
    cannot be worked out without.
    """
    try:
        _worked_out(name, arguments, machine, over, output)
    except formulas.FigureError as error:
        kind, code = (Kind.DATA, 1) if isinstance(error, formulas.FigureRangeError) else (Kind.USAGE, 2)
        context.exit(tell(Failure(kind, str(error), code), json_wanted()))


def _worked_out(
    name: str | None, arguments: tuple[str, ...], machine: str | None, over: str | None, output: Path | None
) -> None:
    if name is None:
        _print_list(list(formulas.registry().values()))
        return
    formula = formulas.find_formula(name)
    values: dict[str, formulas.Argument] = {**_of_machine(formula, machine), **_pairs(arguments)}
    if over is not None:
        key, rows = _swept(formula, over, values)
        if output is not None:
            write_file(output, _drawn(formula, key, rows, output))
        answer([{key: at.value, **_data_of(found)} for at, found in rows], _table(key, rows))
    elif output is not None:
        raise formulas.FigureUsageError("-o draws a curve; say over what with --over KEY=FROM..TO")
    elif not values and any(_must_be_given(parameter) for parameter in formula.parameters):
        _print_list([formula])
    else:
        result = formulas.compute(name, values)
        answer(_result_data(result), _result_lines(result))


def _of_machine(formula: formulas.Formula, machine: str | None) -> dict[str, Quantity]:
    """The machine's figures under the names of the formula's parameters, those that it states."""
    if machine is None:
        return {}
    figures = open_library().machine(machine).figures
    return {
        parameter.name: figures[FigureId(parameter.figure)]
        for parameter in formula.parameters
        if parameter.figure in figures
    }


def _swept(formula: formulas.Formula, over: str, values: Mapping[str, formulas.Argument]) -> tuple[str, Rows]:
    """One parameter, and the formula at eleven values of it. Values outside its range are left out."""
    key, _, span = over.partition("=")
    first, dots, last = span.partition("..")
    parameter = formula.parameter(key)
    if parameter is None or parameter.choices or not dots:
        raise formulas.FigureUsageError(
            f"'{over}' does not read as KEY=FROM..TO; write for example speed=0..60"
        )
    try:
        ends = [parse(text, default_unit=parameter.unit).within(parameter.unit) for text in (first, last)]
    except QuantityError as error:
        raise formulas.FigureUsageError(f"{key}: {error}") from None
    rows = []
    for step in range(STEPS + 1):
        at = ends[0] + (ends[1] - ends[0]) * step / STEPS
        try:
            rows.append(
                (Quantity(at, parameter.unit), formulas.compute(formula.name, {**values, key: at}).values)
            )
        except formulas.FigureRangeError:
            continue
    if not rows:
        raise formulas.FigureRangeError(
            f"{formula.name} holds for {key} {formulas.describe_range(parameter)}, and for none of these"
        )
    return key, rows


def _data_of(values: Mapping[str, Quantity]) -> dict[str, object]:
    return {name: asdict(value) for name, value in values.items()}


def _table(key: str, rows: Rows) -> Iterator[str]:
    table = [[key, *rows[0][1]], *([show(at), *map(show, found.values())] for at, found in rows)]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    for row in table:
        yield "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))


def _drawn(formula: formulas.Formula, key: str, rows: Rows, output: Path) -> bytes:
    if len(rows) < 2:
        raise formulas.FigureUsageError(f"{output}: a curve has two values or more")
    name = next(iter(rows[0][1]))
    unit = rows[0][1][name].unit
    points = [(at.value, found[name].within(unit)) for at, found in rows]
    heights = [above for _, above in points]
    top = max(*heights, min(heights) + 1e-9)
    low = 0.0 if 0.0 <= min(heights) < 0.5 * top else min(heights)
    across = Axis(f"{key}, {rows[0][0].unit}", points[0][0], points[-1][0])
    svg = line_plot(formula.title, across, Axis(f"{name}, {unit}".replace("-", " "), low, top), points)
    return svg if options.form_of(output) == "svg" else svg_to_pdf(svg)


def _must_be_given(parameter: formulas.Parameter) -> bool:
    return parameter.required and parameter.default is None


def _pairs(arguments: Iterable[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for argument in arguments:
        key, equals, value = argument.partition("=")
        if not equals or not key or not value.strip():
            raise formulas.FigureUsageError(f"'{argument}' is not of the form key=value; write it as ratio=7")
        if key in pairs:
            raise formulas.FigureUsageError(f"'{key}' is given twice; leave one")
        pairs[key] = value.strip()
    return pairs


def _result_lines(result: formulas.Result) -> Iterator[str]:
    yield from (result.formula.title, "")
    yield from (f"  {line}" for line in result.working)
    yield ""
    yield from (f"{name.replace('-', ' ')}: {show(value)}" for name, value in result.values.items())
    yield from ("", f"holds for: {result.formula.validity}")
    yield from (f"note: {note}" for note in result.notes)
    yield f"source: {result.source}"


def _result_data(result: formulas.Result) -> dict[str, object]:
    return {
        "name": result.formula.name,
        "title": result.formula.title,
        "value": asdict(result.value),
        "values": _data_of(result.values),
        "working": list(result.working),
        "validity": result.formula.validity,
        "notes": list(result.notes),
        "source": result.source,
        "section": result.formula.section,
    }


def _print_list(listed: Sequence[formulas.Formula]) -> None:
    told = "\n\n".join("\n".join(_formula_lines(one)) for one in listed)
    answer([_formula_data(one) for one in listed], told.splitlines())


def _formula_lines(formula: formulas.Formula) -> Iterator[str]:
    yield f"{formula.name}: {formula.title}"
    for one in formula.parameters:
        yield f"  {one.name}  {one.title}; {formulas.describe_range(one)}{_otherwise(one)}"


def _otherwise(parameter: formulas.Parameter) -> str:
    if parameter.default is not None:
        value = parameter.default
        return f"; {value if isinstance(value, str) else f'{value:g}'} if not given"
    return "" if parameter.required else "; may be left out"


def _formula_data(formula: formulas.Formula) -> dict[str, object]:
    told = ("name", "title", "unit", "low", "high", "default", "choices")
    return {
        "id": formula.name,
        "title": formula.title,
        "unit": formula.result_unit,
        "parameters": [
            {**{key: getattr(parameter, key) for key in told}, "required": _must_be_given(parameter)}
            for parameter in formula.parameters
        ],
        "validity": formula.validity,
        "source": formula.source,
        "section": formula.section,
    }
