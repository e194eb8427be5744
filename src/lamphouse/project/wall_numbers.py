"""Finishes of single walls carried along when a light box gains or loses corners.

Walls are numbered along the inside, so that a corner more or less gives those after it other
numbers.
"""

from collections.abc import Mapping

from lamphouse.design.box_faces import wall_name, wall_ring
from lamphouse.project.read import read_text
from lamphouse.project.tree import Keyed, Path, grow, plain
from lamphouse.project.write import add_item, remove_item
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.sides import nearest_side


def walls_followed(text: str, *, before: str, path: Path) -> str:
    """Give the text of a project with the numbers of walls that are finished otherwise put right.

    Each wall takes the finish of the nearest of the old walls that ran the same way; a wall parted
    by a corner keeps it on both sides.

    Parameters
    ----------
    text, before
        The whole file with the changed shape, and as it was.
    path
        Of the shape. Nothing is done where it is not the inside of a box, where no single wall has
        a finish of its own, where the walls are as many as before, or where either file is not
        sound.
    """
    faces = _faces(text, path)
    numbered = {face: name for face, name in faces.items() if face.startswith("wall ")}
    if path[-1] != "inside" or not numbered:
        return text
    old, new = (_ring(one, path) for one in (before, text))
    if not old or not new or len(old) == len(new):
        return text
    moved: dict[str, str] = {}
    for index, (ax, ay) in enumerate(new):
        bx, by = new[(index + 1) % len(new)]
        middle = ((ax + bx) / 2.0, (ay + by) / 2.0)
        came = wall_name(nearest_side(middle, ring=old, way=(bx - ax, by - ay)).index)
        if came in numbered:
            moved[wall_name(index)] = numbered[came]
    here: Path = (*path[:-1], "faces")
    gone = [face for face in numbered if moved.get(face) != numbered[face]]
    if len(gone) == len(faces) and not moved:
        return remove_item(text, here)
    for face, name in moved.items():
        if face not in numbered:
            text = add_item(text, here, name, key=face)
        elif numbered[face] != name:
            text = add_item(remove_item(text, (*here, face)), here, name, key=face)
    for face in gone:
        if face not in moved:
            text = remove_item(text, (*here, face))
    return text


def _faces(text: str, path: Path) -> Mapping[str, str]:
    tree, found = grow(text, file="")
    node = tree.find((*path[:-1], "faces")) if tree and not found else None
    value = plain(node) if isinstance(node, Keyed) else {}
    return {str(face): str(name) for face, name in value.items()} if isinstance(value, dict) else {}


def _ring(text: str, path: Path) -> tuple[Spot, ...]:
    """Give the corners between the walls of a box; none where the file is not sound."""
    bare = remove_item(text, (*path[:-1], "faces"))
    design = read_text(bare, file="").design
    _, sub_assembly, _, panel, _, name, *_ = path
    for sub in design.sub_assemblies if design else ():
        for behind, box in sub.boxes:
            if (sub.name, behind, box.name) == (sub_assembly, panel, name):
                return wall_ring(box)
    return ()
