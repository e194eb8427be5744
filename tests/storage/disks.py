"""Small and read-only disks, mounted for real where the system lets the tests do it."""

import subprocess
from contextlib import contextmanager

import pytest


@contextmanager
def mounted(place, *options):
    """Mount a memory disk, or skip with what the system said."""
    place.mkdir(exist_ok=True)
    command = ["mount", "-t", "tmpfs", *options, "tmpfs", str(place)]
    try:
        said = subprocess.run(command, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount command here")
    if said.returncode:
        pytest.skip(f"this system lets nobody mount a small disk: {said.stderr.strip()}")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def make_read_only(place):
    """Turn a mounted disk read-only."""
    subprocess.run(["mount", "-o", "remount,ro", str(place)], check=True)


def names_in(folder):
    """List the names in a folder, hidden ones too, in order."""
    return sorted(entry.name for entry in folder.iterdir())
