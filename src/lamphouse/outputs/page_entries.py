"""What a pack's pages are made of: sheets of text and tables, and pages of drawings."""

from typing import Any

from lamphouse.drawings.page import Labelled
from lamphouse.record import Record


class Sheet(Record):
    """Text and tables."""

    mark: str
    kind: str
    """A body of ``typst/pack.typ``."""
    heading: str
    """For the foot of the page."""
    data: dict[str, Any]


class Drawn(Record):
    """Drawings to be laid on pages of their own."""

    mark: str
    labels: tuple[Labelled, ...]


Entry = Sheet | Drawn
