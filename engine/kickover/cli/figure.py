"""`kickover figure`: one formula of the field, worked out with its source."""

from __future__ import annotations

import json
from collections.abc import Iterable

import click

from kickover.formulas import (
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
from kickover.units import Quantity, show

_WRONG_USAGE = 2
_NO_ANSWER = 1


@click.command()
@click.argument("name", required=False)
@click.argument("arguments", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--library", expose_value=False, metavar="DIR", help="Taken by every command; formulas need none."
)
@click.pass_context
def figure(context: click.Context, name: str | None, arguments: tuple[str, ...], as_json: bool) -> None:
    """Work out one formula of the field, or list them all when none is named.

    Values may carry units: kickover figure cranking-pressure ratio=7 altitude='1450 m'. A name on its own
    shows what the formula needs if it cannot be worked out without.
    """
    try:
        if name is None:
            _print_list(registry().values(), as_json)
            return
        formula = find_formula(name)
        if not arguments and any(_must_be_given(parameter) for parameter in formula.parameters):
            _print_list([formula], as_json)
            return
        result = compute(name, _pairs(arguments))
    except FigureError as error:
        click.echo(str(error), err=True)
        context.exit(_NO_ANSWER if isinstance(error, FigureRangeError) else _WRONG_USAGE)
    click.echo(
        json.dumps(_result_json(result), ensure_ascii=False, indent=2) if as_json else _result_text(result)
    )


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
