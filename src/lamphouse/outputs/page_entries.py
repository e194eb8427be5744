"""What a pack's pages are made of: sheets of text and tables, and pages of drawings."""

from dataclasses import dataclass
from typing import Any

from lamphouse.drawings.page import Labelled


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Text and tables."""

    mark: str
    kind: str
    """A body of ``typst/pack.typ``."""
    heading: str
    """For the foot of the page."""
    data: dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Drawings to be laid on pages of their own."""

    mark: str
    labels: tuple[Labelled, ...]


Entry = Sheet | Drawn
