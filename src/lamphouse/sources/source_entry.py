"""One entry of the bibliography."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One entry of the bibliography."""

    citation: str
    """As printed in the reference."""
    note: str = ""
    """How it was read, and what in it nobody has confirmed."""
