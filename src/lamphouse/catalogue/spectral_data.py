"""Published spectra by wavelength: the standard observer, lights, and LED illuminants."""

import csv
from collections.abc import Mapping
from functools import cache
from io import StringIO
from pathlib import Path
from types import MappingProxyType

from lamphouse.record import Record

ROOM_LIGHTS: Mapping[str, str] = MappingProxyType(
    {
        "daylight": "D65",
        "horizon daylight": "D50",
        "tungsten": "A",
        "warm LED": "LED-B2",
        "neutral LED": "LED-B3",
        "cool LED": "LED-B5",
        "fluorescent": "FL2",
        "triphosphor tube": "FL11",
    }
)
"""Lights of a room in words, with the illuminant that stands for each [CIE-15]."""


class SpectralData(Record):
    """Columns of numbers over the same wavelengths."""

    wavelengths_nm: tuple[float, ...]
    columns: Mapping[str, tuple[float, ...]]
    """Numbers by the name of their column, one for each wavelength."""
    source: str
    """A key of ``sources``."""


@cache
def standard_observer() -> SpectralData:
    """Give the matching functions ``x``, ``y``, ``z`` of the 2 degree observer [CIE-1931]."""
    return _read("observer.csv", source="CIE-1931")


@cache
def room_lights() -> SpectralData:
    """Give the spectra of lights a room may have, in any unit: A, D50, D65, FL2, FL11 [CIE-15]."""
    return _read("illuminants.csv", source="CIE-15")


@cache
def led_illuminants() -> SpectralData:
    """Give the spectra of the nine LED illuminants, in any unit [CIE-15]."""
    return _read("led_illuminants.csv", source="CIE-15")


def _read(file: str, *, source: str) -> SpectralData:
    text = (Path(__file__).parent / "data" / file).read_text(encoding="utf-8")
    (_, *names), *rows = csv.reader(StringIO(text), strict=True)
    wavelengths = tuple(float(row[0].removesuffix(" nm")) for row in rows)
    columns = {
        name: tuple(float(row[place]) for row in rows) for place, name in enumerate(names, start=1)
    }
    return SpectralData(
        wavelengths_nm=wavelengths, columns=MappingProxyType(columns), source=source
    )
