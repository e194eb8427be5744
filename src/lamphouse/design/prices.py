"""What the maker pays for parts, by the pack, from the maker's own notes."""

from lamphouse.findings import Where
from lamphouse.record import Record


class PartPrice(Record):
    """How a part is sold where the maker buys it."""

    where: Where
    part: str
    """As the parts list names it; without its colour for a wire of any colour."""
    pack: float
    """Amount in one pack, in ``unit``."""
    unit: str
    """``pieces``, ``m``, ``cm2`` or ``ml``."""
    hundredths: int | None
    """Price of one pack in hundredths of the currency; None: not noted."""
    currency: str
    """Three letters of ISO 4217; empty without a price."""
