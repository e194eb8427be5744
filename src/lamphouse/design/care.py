"""How a finished model is shown, and what the next owner should find in its papers."""

from lamphouse.findings import Where
from lamphouse.record import Record


class Care(Record):
    """The maker's wishes for the papers of the finished model."""

    where: Where | None = None
    """None where the maker wrote nothing about it."""
    built_by: str = ""
    contact: str = ""
    """Whom to ask, as printed."""
    spares_in: str = ""
    """Where the spares bag is kept."""
    hours_a_day: float | None = None
    days_a_year: int = 365
    led_life_h: float | None = None
    """Hours to ``led_life_share`` of the light, as the data sheet rates it; None: not known."""
    led_life_share: float = 0.7
    tested_h: float | None = None
    """Hours for which that was tested; a projection reaches six times as far [TM-21]."""
    renew_at: float = 0.7
    """Share of the first light at which LEDs are to be changed."""

    @property
    def hours_a_year(self) -> float | None:
        """Give the hours for which the model is lit in a year; None while nobody has said."""
        return None if self.hours_a_day is None else self.hours_a_day * self.days_a_year
