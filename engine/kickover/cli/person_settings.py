"""A person's settings: what the commands take for options that are not given.

They stand in a TOML file of a few lines, so that they can be read, copied and written by hand.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.units import METRIC_FIRST, ORDERS

PAPERS = ("a4", "letter")
"""Sheets that every printed thing has. Named here, so that no command need load what prints to read them."""


class SettingsError(KickoverError):
    """A setting that is unknown or has no such value, or a file of settings that cannot be read."""


@dataclass(frozen=True, slots=True)
class PersonSettings:
    """What is taken where nothing is given; an empty text stands for nothing.

    `machine` and `kit` are names or files, `overlay` is a file or folder; `units` says which come first.
    """

    machine: str = ""
    kit: str = ""
    overlay: str = ""
    units: str = METRIC_FIRST
    paper: str = "a4"

    def with_value(self, name: str, value: str) -> PersonSettings:
        """These settings with one changed; without a value it is as before it was ever set.

        Raises SettingsError for a name or a value that there is not.
        """
        usual = asdict(PersonSettings())
        if name not in usual:
            near = nearest(name, usual)
            raise SettingsError(
                f"there is no setting {name!r}; "
                + (f"did you mean {near!r}?" if near else f"they are {', '.join(usual)}")
            )
        choices = {"units": ORDERS, "paper": PAPERS}.get(name)
        if value and choices and value not in choices:
            raise SettingsError(f"{name} cannot be {value!r}; it may be {' or '.join(choices)}")
        return replace(self, **{name: value or usual[name]})

    def as_text(self) -> str:
        """The lines of the file."""
        lines = ["# What Kickover takes where an option is not given; see: kickover settings --help"]
        lines += [f"{name} = {json.dumps(value, ensure_ascii=False)}" for name, value in asdict(self).items()]
        return "\n".join([*lines, ""])


def read_settings(file: Path) -> PersonSettings:
    """The settings in a file; the usual ones where there is none. Raises SettingsError."""
    try:
        data = tomllib.loads(file.read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        return PersonSettings()
    except (OSError, ValueError, RecursionError) as error:
        raise SettingsError(f"{file}: {error}; mend that line, or delete the file") from None
    settings = PersonSettings()
    for name, value in data.items():
        if not isinstance(value, str):
            raise SettingsError(
                f"{file}: {name} is a text in quotation marks; mend that line, or delete the file"
            )
        try:
            settings = settings.with_value(name, value)
        except SettingsError as error:
            raise SettingsError(f"{file}: {error}") from None
    return settings


def as_defaults(settings: PersonSettings) -> Mapping[str, Any]:
    """The settings as the defaults of options, command by command."""
    kept = {field.name: getattr(settings, field.name) for field in fields(settings)}
    overlay = {"overlay": (settings.overlay,)} if settings.overlay else {}

    def of(*names: str) -> dict[str, Any]:
        return {name: kept[name] for name in names if kept[name]} | overlay

    charts = {"chart": of("machine", "kit", "paper"), "booklet": of("machine", "paper"), "tree": of("paper")}
    return {
        **{command: of() for command in ("list", "figure")},
        **{command: of("machine", "kit") for command in ("walk", "rank", "evaluate")},
        "show": of("machine"),
        "pack": of("machine", "paper"),
        "service": of("machine", "paper"),
        "report": of("paper"),
        "drill": of("paper"),
        "draw": charts,
    }
