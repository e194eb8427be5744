"""The print chart that a layer names made from checked fields."""

from lamphouse.design.artwork import PrintChart
from lamphouse.project.desk import Desk
from lamphouse.project.tree import Path


def print_chart(desk: Desk, name: str, path: Path) -> PrintChart | None:
    """Make a chart; None where none is named, or where the name points at nothing."""
    if not name:
        return None
    charts = desk.fields.charts
    desk.refer("charts", name, path, names=charts)
    fields = charts.get(name)
    if fields is None:
        return None
    here: Path = ("charts", name)
    return PrintChart(
        name=name,
        where=desk.where(here),
        film=desk.row(desk.shelf.film_types, fields.film, (*here, "film")),
        lit=tuple(fields.lit.items()),
        unlit=tuple(fields.unlit.items()),
    )
