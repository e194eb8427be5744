"""The loader of catalogue tables: a row without unit, source and date is refused."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class OriginKind(StrEnum):
    """How good a row's numbers are."""

    STANDARD = "standard"
    HANDBOOK = "handbook"
    DATASHEET = "datasheet"
    MEASURED = "measured"
    TYPICAL = "typical"
    """Typical of the class; measure yours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where a row's numbers come from."""

    source: str
    """A key of ``sources``, or the maker's own words for a measured part."""
    kind: OriginKind
    day: date
