"""Plane geometry of outlines of straight and round pieces; the only user of the polygon library.

- ``outline``: outlines made from sizes, and their pieces, direction and recognised circles.
- ``measure``: exact area, centroid, bounds and length of an outline.
- ``flatten``: round pieces as chords within a stated error.
- ``chords``: outlines as rings and polygons of the polygon library.
- ``clearing``: what of an outline stays free under plates on it.
- ``transform``: outlines moved and turned.
- ``tilting``: a small body that leans on a plane, and the wedge under it.
- ``warping``: outlines carried through a smooth map, as few lines and arcs.
- ``bend``: walls bent to a cylinder or a cone, laid flat.
- ``sides``: the side of a ring nearest to a point.
- ``soundness``: what is wrong with an outline, in plain words, and where.
- ``spacing``: how far outlines lie from one another, what they cover, what sticks out.
- ``median_point``: the weighted geometric median.
- ``registering``: the shift that brings outlines inside others, all at once.
- ``plates``: plates with cut-outs measured against one another.
- ``circles_around``: the circle around equal circles.
- ``joining``: outlines that touch joined to one.
- ``stopping``: where a straight way runs into a ring.
- ``carving``: shapes added and cut away in turn.
- ``slabs``: a stack of shapes in common triangles.
- ``tangents``: smooth outlines, and straight sides round them.
- ``sightlines``: faces in space seen along one direction, hidden lines left out.
- ``roundabout``: shortest ways round obstacles that bend no tighter than a radius.
- ``footprints``: footprints on the floor, moved and swept, and what they meet.
- ``bands``: an outline held by upright rectangles.
- ``detour``: shortest ways under the floor round what stands there.
- ``offset``: outlines grown and shrunk by a distance.
- ``arcs_back``: lines and true arcs put back into the chords of an offset.
- ``rounding``: corners rounded by an arc.
- ``regions``: areas joined, cut and grown, with true arcs in what comes out.
- ``reach``: what a round tool leaves in inner corners.
- ``patterns``: places in grids, rings, and along lines and outlines.

An outline is a tuple of corners ``(x_mm, y_mm, bulge)``. The bulge belongs to the piece that
follows the corner: the tangent of a quarter of its arc, 0 when straight, positive when the arc
turns left.
"""
