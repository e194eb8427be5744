"""Level cuts through a light box, from its pieces where they stand, by the polygon library."""

import numpy as np
import shapely
from shapely import affinity

from lamphouse.shapes.flatten import flatten


def solid(piece):
    """The piece as a polygon with its cut-outs, in its own coordinates."""
    outline = shapely.Polygon(flatten(piece.outline.corners))
    for cut in piece.cutouts:
        outline = outline.difference(shapely.Polygon(flatten(cut.corners)))
    return outline


def slices(made, z_mm):
    """Give part and plan polygon of every piece that a level cut at this height goes through."""
    by_name = {piece.name: piece for piece in made.pieces}
    for one in made.standing:
        piece = by_name[one.piece]
        flat, thick = solid(piece), piece.sheet.thickness_mm
        x, y, z = one.corner_mm
        if abs(one.normal[2]) > 0.5:
            if z - thick < z_mm < z:
                matrix = [one.right[0], one.up[0], one.right[1], one.up[1], x, y]
                yield one.part, affinity.affine_transform(flat, matrix)
            continue
        line = shapely.LineString([(-1e4, z_mm - z), (1e4, z_mm - z)])
        for run in shapely.get_parts(flat.intersection(line)):
            if run.length < 1e-9:
                continue
            start, end = run.bounds[0], run.bounds[2]
            # Bevelled are the ends of the body, not those of tabs: its upper corners tell them.
            top = max(y for _, y, _ in piece.outline.corners)
            across = [x for x, y, _ in piece.outline.corners if y > top - 1e-6]
            left = [
                inset if abs(start - min(across)) < 1e-6 else 0.0
                for inset in (one.near_mm[0], one.far_mm[0])
            ]
            right = [
                inset if abs(end - max(across)) < 1e-6 else 0.0
                for inset in (one.near_mm[1], one.far_mm[1])
            ]
            way, normal = np.array(one.right[:2]), np.array(one.normal[:2])
            corner = np.array([x, y])
            yield one.part, shapely.Polygon([
                corner + (start + left[0]) * way,
                corner + (end - right[0]) * way,
                corner + (end - right[1]) * way - thick * normal,
                corner + (start + left[1]) * way - thick * normal,
            ])  # fmt: skip


def worst_overlap(made, heights):
    """Give the largest area two pieces share in any of the cuts, with their names."""
    worst = (0.0, "", "")
    for z_mm in heights:
        parts = list(slices(made, z_mm))
        for number, (name, shape) in enumerate(parts):
            for other, against in parts[:number]:
                worst = max(worst, (shape.intersection(against).area, other, name))
    return worst
