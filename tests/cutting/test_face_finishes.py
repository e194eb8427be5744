"""Which piece of a light box says which finish, for every way a box is made."""

import pytest

from cutting import samples as s
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.box_faces import face_names, finish_of
from lamphouse.design.lightbox import Blocks, Build, FaceFinish, Fixing, Flange, Lid, RoundWalls
from lamphouse.record import replace
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.outline import circle

BLACK = built_in().finishes["matt black paint"]
WHITE = built_in().finishes["matt white paint"]


def made(box):
    (found,) = s.cut(s.panel(), boxes=[box]).boxes
    return found


def with_faces(*names, **more):
    faces = tuple(FaceFinish(face=name, finish=BLACK) for name in names)
    return s.box(faces=faces, **more)


def said(piece):
    """Give what the notes say of the inside of a piece."""
    (line,) = (note for note in piece.notes if note.startswith("inside: "))
    return line.removeprefix("inside: ").removesuffix("; outside: black")


def pieces_of(box):
    """Give the pieces by the last part of their name, one for each that is counted together."""
    found = {}
    for piece in made(box).pieces:
        name = piece.name.rpartition(" / ")[2]
        for number in name.removeprefix("walls ").split(", ") if "walls " in name else ():
            found[f"wall {number}"] = piece
        if "walls " not in name:
            found[name] = piece
    return found


@pytest.mark.parametrize("own", ["back", "wall 1", "wall 2", "wall 3", "wall 4"])
def test_the_piece_with_the_name_has_the_finish_and_no_other(own):
    box = with_faces(own)
    pieces = pieces_of(box)
    faces = [name for name in face_names(box) if name not in ("panel", "walls")]
    for face in faces:
        assert said(pieces[face]) == finish_of(box, face).name
        assert (said(pieces[face]) == BLACK.name) == (face == own)


def test_equal_walls_of_two_finishes_are_not_counted_as_one_piece():
    plain = [piece for piece in made(s.box()).pieces if "wall" in piece.name]
    mixed = [piece for piece in made(with_faces("wall 2")).pieces if "wall" in piece.name]
    assert sum(piece.count for piece in plain) == sum(piece.count for piece in mixed) == 4
    assert any(piece.name.endswith("walls 2, 4") for piece in plain)
    assert not any(piece.name.endswith("walls 2, 4") for piece in mixed)


def test_a_baffle_says_its_own_finish():
    baffle = s.baffle("mid", (25, 20), (35, 20))
    for own, name in ((None, WHITE.name), (BLACK, BLACK.name)):
        pieces = pieces_of(s.box(baffles=(replace(baffle, finish=own),)))
        assert any(note.endswith(f"both faces: {name}") for note in pieces["baffle mid"].notes)


def test_a_wrapped_wall_has_the_finish_of_all_walls():
    ring = circle(20.0, x_mm=30.0, y_mm=20.0)
    pieces = pieces_of(with_faces("walls", inside=ring))
    assert said(pieces["wall"]) == BLACK.name
    assert said(pieces["back"]) == WHITE.name


def test_flat_walls_round_an_arc_have_numbers_of_their_own():
    ring = circle(20.0, x_mm=30.0, y_mm=20.0)
    box = with_faces("wall 5", inside=ring, round_walls=RoundWalls.FLAT)
    pieces = pieces_of(box)
    assert [
        face for face in pieces if face.startswith("wall ") and said(pieces[face]) == BLACK.name
    ] == ["wall 5"]


def test_a_folded_box_says_all_its_faces_and_how_to_mask_them():
    box = with_faces("back", "wall 3", build=Build.FOLDED, thickness_mm=0.5, flange=Flange.NONE)
    (piece,) = (one for one in made(box).pieces if one.name.endswith("folded box"))
    assert said(piece) == "matt white paint, but back and wall 3 matt black paint"
    assert any("masked along the folds" in note for note in piece.notes)
    marks = {mark.words: size_mm(mark.corners) for mark in piece.glued}
    assert set(marks) == {"back: matt black paint", "wall 3: matt black paint"}
    back, wall = marks["back: matt black paint"], marks["wall 3: matt black paint"]
    # a millimetre within the edges, give or take the sheet's thickness at both folds
    assert back == pytest.approx((20.0 - 2.0, 16.0 - 2.0), abs=1.0)
    assert wall == pytest.approx((20.0 - 2.0, 10.0 - 2.0), abs=1.0)
    plain = s.box(build=Build.FOLDED, thickness_mm=0.5)
    (piece,) = (one for one in made(plain).pieces if one.name.endswith("folded box"))
    assert not any("masked" in note for note in piece.notes)


def test_the_back_of_a_folded_box_with_a_lid_is_a_piece_of_its_own():
    box = with_faces("back", build=Build.FOLDED, thickness_mm=0.5, lid=Lid.OVER)
    pieces = pieces_of(box)
    assert said(pieces["back"]) == BLACK.name
    assert said(pieces["folded box"]) == WHITE.name


def test_a_printed_body_says_its_faces_and_where_numbered_walls_are():
    (shell,) = made(with_faces("wall 2", build=Build.PRINTED)).bodies
    assert said(shell) == "matt white paint, but wall 2 matt black paint"
    placed = [note for note in shell.notes if note.endswith("behind the panel")]
    assert placed == ["wall 2: from [40 mm, 12 mm] to [40 mm, 28 mm] behind the panel"]
    (plain,) = made(s.box(build=Build.PRINTED)).bodies
    assert said(plain) == WHITE.name
    assert not any("behind the panel" in note for note in plain.notes)


def test_a_printed_lid_has_the_finish_of_the_back():
    shell, lid = made(with_faces("back", build=Build.PRINTED, lid=Lid.OVER)).bodies
    assert said(shell) == WHITE.name
    assert said(lid) == BLACK.name


@pytest.mark.parametrize(
    ("blocks", "like"), [(Blocks.INSIDE, "its wall"), (Blocks.OUTSIDE, "the box")]
)
def test_a_block_inside_is_painted_like_its_wall(blocks, like):
    fixing = Fixing(where=s.where("sample"), screw="M2", blocks=blocks)
    box = with_faces(
        "wall 2", inside=s.box_shape(40, 30, x=30, y=20), fixing=fixing, thickness_mm=1.0
    )
    block = next(piece for piece in made(box).pieces if "block" in piece.name)
    assert any(note.endswith(f"paint it like {like}") for note in block.notes)
