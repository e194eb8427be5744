"""One entry of the bibliography."""

from lamphouse.record import Record


class Source(Record):
    """One entry of the bibliography."""

    citation: str
    """As printed in the reference."""
    note: str = ""
    """How it was read, and what in it nobody has confirmed."""
