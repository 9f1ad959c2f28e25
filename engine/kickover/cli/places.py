"""Where the program keeps a person's files, and what time it is there: the ways out that commands hand in."""

from __future__ import annotations

import os
from datetime import date, datetime
from pathlib import Path

import platformdirs


def walks_folder() -> Path:
    """Where journals are kept: KICKOVER_HOME, or the user's state folder."""
    return (_home() or Path(platformdirs.user_state_dir("kickover"))) / "walks"


def machines_folder() -> Path:
    """Where machines of one's own are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "machines"


def cases_file() -> Path:
    """Where closed cases are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "cases.sqlite"


def learners_folder() -> Path:
    """Where results of drills are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "learners"


def cache_folder() -> Path:
    """Where libraries are kept once they were found sound: KICKOVER_HOME, or the user's cache folder."""
    return (_home() or Path(platformdirs.user_cache_dir("kickover"))) / "cache"


def faults_file() -> Path:
    """Where faults of the program itself are logged: KICKOVER_HOME, or the user's state folder."""
    return (_home() or Path(platformdirs.user_state_dir("kickover"))) / "faults.log"


def now() -> str:
    """The present moment, local time with its offset, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def today() -> date:
    """The date on the wall."""
    return date.today()


def _home() -> Path | None:
    home = os.environ.get("KICKOVER_HOME")
    return Path(home).expanduser() if home else None
