"""The projects opened last, kept in the user's own folder for such things."""

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from lamphouse.storage.atomic import write_file

MOST = 12
"""Projects remembered."""


def state_folder(environment: Mapping[str, str]) -> Path:
    """Give the folder where a program may keep what it remembers [XDG-DIRS]."""
    own = environment.get("LAMPHOUSE_STATE") or environment.get("XDG_STATE_HOME")
    if own and Path(own).is_absolute():
        return Path(own) / "lamphouse"
    if os.name == "nt" and environment.get("LOCALAPPDATA"):
        return Path(environment["LOCALAPPDATA"]) / "lamphouse"
    return Path.home() / ".local" / "state" / "lamphouse"


class Recent:
    """Files of projects, the latest first; what cannot be kept is forgotten without a word."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / "recent.json"

    def files(self) -> tuple[Path, ...]:
        """List those that are still there."""
        try:
            names = json.loads(self._file.read_text("utf-8"))
        except (OSError, ValueError):
            return ()
        if not isinstance(names, list):
            return ()
        files = (Path(name) for name in names if isinstance(name, str))
        return tuple(file for file in files if file.is_file())[:MOST]

    def add(self, file: Path) -> None:
        """Put a project first."""
        names = [str(file), *(str(old) for old in self.files() if old != file)][:MOST]
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            write_file(self._file, json.dumps(names, indent=1).encode())
