"""Where the shared drawer is kept when nobody says otherwise."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path

VARIABLE = "LAMPHOUSE_DRAWER"
"""Environment variable that names the drawer's file."""
NAME = "drawer.sqlite"


def drawer_file(
    given: Path | None = None,
    *,
    environment: Mapping[str, str] = os.environ,
    platform: str = sys.platform,
) -> Path:
    """Give the drawer's file: the one named, else that of the environment, else the user's own.

    The user's own lies in the folder that the system keeps for programs' data.
    """
    if given is not None:
        return given
    if environment.get(VARIABLE):
        return Path(environment[VARIABLE]).expanduser()
    home = Path(environment.get("HOME") or environment.get("USERPROFILE") or Path.home())
    if platform == "win32":
        folder = Path(environment.get("APPDATA") or home / "AppData" / "Roaming")
    elif platform == "darwin":
        folder = home / "Library" / "Application Support"
    else:
        folder = Path(environment.get("XDG_DATA_HOME") or home / ".local" / "share")
    return folder / "lamphouse" / NAME
