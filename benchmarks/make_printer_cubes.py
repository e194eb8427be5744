"""Searches what printers of typical inks lay down for screen colours; kept in the package.

Usage: ``python benchmarks/make_printer_cubes.py``, after a change of inks, paper or search;
``tests/colour/test_colour_search.py`` says when that is due.
"""

from pathlib import Path

import numpy as np

import lamphouse.colour
from lamphouse.colour.printer import FOUND, KNOWN, searched


def main() -> None:
    """Search and write."""
    file = Path(lamphouse.colour.__path__[0]) / FOUND
    np.save(file, np.stack([searched(inks).values for inks in KNOWN]))
    print(f"wrote {file.name}: {', '.join(inks.name for inks in KNOWN)}")


if __name__ == "__main__":
    main()
