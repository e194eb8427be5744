"""Pillars of light boxes made from checked fields: rows spread out, in their places."""

from collections.abc import Iterator, Mapping

from lamphouse.design.lightbox import Pillar
from lamphouse.project.desk import Desk
from lamphouse.project.fields.pillar_fields import PillarFields
from lamphouse.project.outlines import placed, turned
from lamphouse.project.panel_shapes import PanelShapes
from lamphouse.project.tree import Path


def pillars(
    desk: Desk,
    fields: Mapping[str, PillarFields],
    path: Path,
    *,
    within: str,
    shapes: PanelShapes,
) -> Iterator[Pillar]:
    """Give the pillars of a light box in their places.

    Parameters
    ----------
    desk, shapes
        Of the project, and of the panel before the box.
    fields
        By name, or by the name of a row.
    path
        Of all of them.
    within
        The box, as a sentence names it.
    """
    for key, row in fields.items():
        here = (*path, key)
        corners, own = shapes.made(row.shape, (*here, "shape"))
        corners = turned(corners, angle_deg=row.turn)
        sheet = desk.row(desk.shelf.sheet_stock, row.sheet, (*here, "sheet")) if row.sheet else None
        finish = (
            desk.row(desk.shelf.finishes, row.finish, (*here, "finish")) if row.finish else None
        )
        for name, x_mm, y_mm in shapes.spread(key, row, here, own=own):
            yield Pillar(
                name=name,
                where=desk.member(here, name=name, kind="pillar", within=within),
                outline=placed(corners, words=row.shape.words, x_mm=x_mm, y_mm=y_mm),
                sheet=sheet,
                finish=finish,
            )
