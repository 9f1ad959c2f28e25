"""`python -m kickover`: the same program as the command."""

from kickover.cli.main import entry

entry()
