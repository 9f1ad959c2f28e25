"""`kickover help`: how a command is used, and the whole manual for `man`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.metadata import version

import click

from kickover.cli.failure import EXIT_CODES

ENVIRONMENT = {
    "KICKOVER_HOME": "A folder for all that is yours: walks, machines, cases, service logs, settings.",
    "KICKOVER_ONE_KEY": "0 lets a digit of a walk answer only with Enter.",
    "NO_COLOR": "Set to anything, it keeps colour off the screen.",
    "PAGER": "What shows long output on a terminal; cat shows it at once.",
}


@click.command(name="help")
@click.argument("command", nargs=-1)
@click.option("--man", is_flag=True, help="Print the whole manual as a page for `man -l`.")
@click.pass_context
def help_(context: click.Context, command: tuple[str, ...], man: bool) -> None:
    """Show how COMMAND is used; without it, which commands there are."""
    asked = context.find_root()
    for word in command:
        if not isinstance(asked.command, click.Group):
            raise click.UsageError(f"{asked.command_path} has no commands of its own", asked)
        found = asked.command.get_command(asked, word)
        if found is None:
            raise click.UsageError(f"{asked.command_path} has no command {word!r}", asked)
        asked = click.Context(found, parent=asked, info_name=word)
    click.echo("\n".join(manual(asked)) if man else asked.get_help())


def manual(root: click.Context) -> Iterator[str]:
    """The lines of a page in the macros of man(7): every command below `root` with all its options."""
    release = version("kickover")
    yield f'.TH {root.info_name} 1 "" "kickover {release}"'
    yield from (".ad l", ".nh")
    yield from (".SH NAME", f"{root.info_name} \\- {_roff(root.command.get_short_help_str(200))}")
    usage = _roff(" ".join(root.command.collect_usage_pieces(root)))
    yield from (".SH SYNOPSIS", f".B {root.info_name}", usage)
    yield ".SH COMMANDS"
    yield from _below(root)
    yield ".SH EXIT STATUS"
    yield from _listed((str(code), meaning) for code, meaning in EXIT_CODES.items())
    yield ".SH ENVIRONMENT"
    yield from _listed(ENVIRONMENT.items())


def _below(context: click.Context) -> Iterator[str]:
    """Each command that does something, in the order of the help."""
    command = context.command
    if not isinstance(command, click.Group):
        usage = " ".join([context.command_path, *command.collect_usage_pieces(context)])
        yield f'.SS "{_roff(usage)}"'
        for number, paragraph in enumerate((command.help or "").split("\n\n")):
            yield from ([".PP"] if number else [])
            yield _roff(" ".join(paragraph.split()))
        options = (option for option in command.params if isinstance(option, click.Option))
        yield from _listed(record for option in options if (record := option.get_help_record(context)))
        return
    for name in command.list_commands(context):
        found = command.get_command(context, name)
        assert found is not None
        yield from _below(click.Context(found, parent=context, info_name=name))


def _listed(pairs: Iterable[tuple[str, str]]) -> Iterator[str]:
    for name, meaning in pairs:
        yield from (".TP", f".B {_roff(name)}", _roff(meaning))


def _roff(text: str) -> str:
    """Text as it is written in a page: no line begins a request, and lines break at bars, not at hyphens."""
    plain = text.replace("\\", "\\e").replace("-", "\\-").replace('"', "\\(dq").replace("|", "|\\:")
    return f"\\&{plain}" if plain.startswith((".", "'")) else plain
