"""Groups whose commands are imported when they are used or listed: each pays for what it uses itself."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click

from kickover.core.near_names import nearest


class LazyCommands(click.Group):
    """A group with `more` commands, each named with the module and function that hold it."""

    def __init__(self, *args: Any, more: Mapping[str, str], **settings: Any) -> None:
        super().__init__(*args, **settings)
        self._more = more

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Give the names of all commands."""
        return [*super().list_commands(ctx), *self._more]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Give a command by its name. Raises UsageError with the nearest name for one that is not known."""
        if cmd_name in self._more:
            module, _, name = self._more[cmd_name].partition(":")
            command: click.Command = getattr(import_module(module), name)
            return command
        found = super().get_command(ctx, cmd_name)
        if found is None:
            near = nearest(cmd_name, self.list_commands(ctx))
            hint = f"did you mean {near!r}?" if near else f"`{ctx.command_path} --help` lists them"
            raise click.UsageError(f"There is no command {cmd_name!r}; {hint}", ctx)
        return found
