"""`kickover figure`: one formula of the field, worked out with its source."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import click

from kickover.cli.completing import formula_names, names_of
from kickover.cli.context import json_option, library_option, open_library, print_json
from kickover.core.atomic_file import write_file
from kickover.core.ids import FigureId
from kickover.documents.line_plot import Axis, line_plot
from kickover.documents.renderer import svg_to_pdf
from kickover.formulas import (
    Argument,
    FigureError,
    FigureRangeError,
    FigureUsageError,
    Formula,
    Parameter,
    Result,
    compute,
    describe_range,
    find_formula,
    registry,
)
from kickover.units import Quantity, QuantityError, parse, show

STEPS = 10
_WRONG_USAGE = 2
_NO_ANSWER = 1


@dataclass(frozen=True, slots=True)
class Swept:
    """A formula worked out over values of the parameter `key`: each value with the results there."""

    key: str
    rows: tuple[tuple[Quantity, Mapping[str, Quantity]], ...]


@click.command()
@click.argument("name", shell_complete=formula_names, required=False)
@click.argument("arguments", nargs=-1, metavar="[KEY=VALUE]...")
@click.option(
    "--machine",
    shell_complete=names_of("machines"),
    metavar="NAME|FILE",
    help="Take what is not given from this machine's figures.",
)
@click.option("--over", metavar="KEY=FROM..TO", help="Work it out at eleven values from one to the other.")
@click.option("-o", "--output", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.svg|pdf",
              help="With --over, draw the curve.")  # fmt: skip
@library_option
@json_option
@click.pass_context
def figure(
    context: click.Context,
    name: str | None,
    arguments: tuple[str, ...],
    machine: str | None,
    over: str | None,
    output: Path | None,
    library: Path | None,
    as_json: bool,
) -> None:
    """Work out one formula of the field, or list them all when none is named.

    Values may carry units: kickover figure cranking-pressure ratio=7 altitude='1450 m'. A name on its own
    shows what the formula needs if it cannot be worked out without.
    """
    try:
        if name is None:
            _print_list(registry().values(), as_json)
            return
        formula = find_formula(name)
        given = _pairs(arguments)
        values: dict[str, Argument] = {**_of_machine(formula, machine, library), **given}
        if not values and over is None and any(_must_be_given(parameter) for parameter in formula.parameters):
            _print_list([formula], as_json)
            return
        if over is not None:
            _print_table(formula, _swept(formula, over, values), output, as_json)
            return
        if output is not None:
            raise FigureUsageError("-o draws a curve; say over what with --over KEY=FROM..TO")
        result = compute(name, values)
    except FigureError as error:
        click.echo(str(error), err=True)
        context.exit(_NO_ANSWER if isinstance(error, FigureRangeError) else _WRONG_USAGE)
    click.echo(
        json.dumps(_result_json(result), ensure_ascii=False, indent=2) if as_json else _result_text(result)
    )


def _of_machine(formula: Formula, machine: str | None, library: Path | None) -> dict[str, Quantity]:
    """The machine's figures under the names of the formula's parameters, those that it states."""
    if machine is None:
        return {}
    figures = open_library(library).machine(machine).figures
    return {
        parameter.name: figures[FigureId(parameter.figure)]
        for parameter in formula.parameters
        if parameter.figure in figures
    }


def _swept(formula: Formula, over: str, values: Mapping[str, Argument]) -> Swept:
    """The formula at eleven values of one parameter. Values outside its range are left out."""
    key, _, span = over.partition("=")
    first, dots, last = span.partition("..")
    parameter = formula.parameter(key)
    if parameter is None or parameter.choices or not dots:
        raise FigureUsageError(f"'{over}' does not read as KEY=FROM..TO; write for example speed=0..60")
    try:
        ends = [parse(text, default_unit=parameter.unit).within(parameter.unit) for text in (first, last)]
    except QuantityError as error:
        raise FigureUsageError(f"{key}: {error}") from None
    rows = []
    for step in range(STEPS + 1):
        at = ends[0] + (ends[1] - ends[0]) * step / STEPS
        try:
            rows.append((Quantity(at, parameter.unit), compute(formula.name, {**values, key: at}).values))
        except FigureRangeError:
            continue
    if not rows:
        raise FigureRangeError(
            f"{formula.name} holds for {key} {describe_range(parameter)}, and for none of these"
        )
    return Swept(key, tuple(rows))


def _print_table(formula: Formula, swept: Swept, output: Path | None, as_json: bool) -> None:
    if output is not None:
        write_file(output, _drawn(formula, swept, output))
    if as_json:
        print_json([{swept.key: at.value, **{name: _quantity_json(value) for name, value in values.items()}}
                    for at, values in swept.rows])  # fmt: skip
        return
    names = list(swept.rows[0][1])
    table = [
        [swept.key, *names],
        *([show(at), *(show(values[name]) for name in names)] for at, values in swept.rows),
    ]
    widths = [max(len(row[column]) for row in table) for column in range(len(table[0]))]
    for row in table:
        click.echo("  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)))


def _drawn(formula: Formula, swept: Swept, output: Path) -> bytes:
    if output.suffix.lower() not in {".svg", ".pdf"} or len(swept.rows) < 2:
        raise FigureUsageError(f"{output}: a curve has two values or more, and its file ends in .svg or .pdf")
    name = next(iter(swept.rows[0][1]))
    unit = swept.rows[0][1][name].unit
    points = [(at.value, values[name].within(unit)) for at, values in swept.rows]
    heights = [above for _, above in points]
    top = max(*heights, min(heights) + 1e-9)
    low = 0.0 if 0.0 <= min(heights) < 0.5 * top else min(heights)
    across = Axis(f"{swept.key}, {swept.rows[0][0].unit}", points[0][0], points[-1][0])
    svg = line_plot(formula.title, across, Axis(f"{name}, {unit}".replace("-", " "), low, top), points)
    return svg if output.suffix.lower() == ".svg" else svg_to_pdf(svg)


def _must_be_given(parameter: Parameter) -> bool:
    return parameter.required and parameter.default is None


def _pairs(arguments: Iterable[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for argument in arguments:
        key, equals, value = argument.partition("=")
        if not equals or not key or not value.strip():
            raise FigureUsageError(f"'{argument}' is not of the form key=value; write it as ratio=7")
        if key in pairs:
            raise FigureUsageError(f"'{key}' is given twice; leave one")
        pairs[key] = value.strip()
    return pairs


def _result_text(result: Result) -> str:
    lines = [result.formula.title, ""]
    lines += [f"  {line}" for line in result.working]
    lines.append("")
    lines += [f"{name.replace('-', ' ')}: {show(value)}" for name, value in result.values.items()]
    lines.append("")
    lines.append(f"holds for: {result.formula.validity}")
    lines += [f"note: {note}" for note in result.notes]
    lines.append(f"source: {result.source}")
    return "\n".join(lines)


def _result_json(result: Result) -> dict[str, object]:
    return {
        "name": result.formula.name,
        "title": result.formula.title,
        "value": _quantity_json(result.value),
        "values": {name: _quantity_json(value) for name, value in result.values.items()},
        "working": list(result.working),
        "validity": result.formula.validity,
        "notes": list(result.notes),
        "source": result.formula.source,
        "section": result.formula.section,
    }


def _quantity_json(quantity: Quantity) -> dict[str, object]:
    return {"value": quantity.value, "unit": quantity.unit}


def _print_list(formulas: Iterable[Formula], as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps([_formula_json(formula) for formula in formulas], ensure_ascii=False, indent=2))
        return
    click.echo("\n\n".join(_formula_text(formula) for formula in formulas))


def _formula_text(formula: Formula) -> str:
    lines = [f"{formula.name}: {formula.title}"]
    lines += [
        f"  {parameter.name}  {parameter.title}; {describe_range(parameter)}{_otherwise(parameter)}"
        for parameter in formula.parameters
    ]
    return "\n".join(lines)


def _otherwise(parameter: Parameter) -> str:
    if parameter.default is not None:
        value = parameter.default
        return f"; {value if isinstance(value, str) else f'{value:g}'} if not given"
    return "" if parameter.required else "; may be left out"


def _formula_json(formula: Formula) -> dict[str, object]:
    return {
        "id": formula.name,
        "title": formula.title,
        "unit": formula.result_unit,
        "parameters": [
            {
                "name": parameter.name,
                "title": parameter.title,
                "unit": parameter.unit,
                "low": parameter.low,
                "high": parameter.high,
                "default": parameter.default,
                "choices": None if parameter.choices is None else list(parameter.choices),
                "required": _must_be_given(parameter),
            }
            for parameter in formula.parameters
        ],
        "validity": formula.validity,
        "source": formula.source,
        "section": formula.section,
    }
