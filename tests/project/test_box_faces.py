"""Finishes of single faces in the file: read, refused, in a form, edited, mended, suggested."""

import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.box_faces import (
    finish_of,
    in_words,
    repainted,
    repainted_faces,
    wall_beside,
    wall_ring,
)
from lamphouse.findings import Finding, Severity, sets
from lamphouse.plan import make
from lamphouse.plan.asking import asked
from lamphouse.plan.kept import Kept
from lamphouse.plan.suggestion import Choice
from lamphouse.plan.variations import Means, variations
from lamphouse.project.applying import applied
from lamphouse.project.item_fields import form_of
from lamphouse.project.mending import mended
from lamphouse.project.read import read_text
from lamphouse.project.reshaping import corner_added, corner_moved, corner_removed
from lamphouse.project.wall_numbers import walls_followed
from lamphouse.project.write import set_value
from lamphouse.record import replace
from lamphouse.web.edits import Edits, edited

FINISHES = built_in().finishes
BOX = ("sub_assemblies", "desk", "panels", "top", "boxes", "screen box")
TEXT = """\
lamphouse: 1
name: Faces
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
looks:
  lit: {luminance: 5 to 100 cd/m2, evenness: 50 %}
sub_assemblies:
  desk:
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 160 mm}
    panels:
      top:
        outline: rectangle 84 x 52 mm
        sheet: styrene 1.0 mm
        openings:
          screen:
            {shape: rectangle 20 x 10 mm, at: [34 mm, 26 mm], look: lit, layers: [opal film 60]}
        boxes:
          screen box:
            inside: rectangle 30 x 20 mm  # as the part is
            at: [34 mm, 26 mm]
            depth: 12 mm
            sheet: styrene 1.0 mm
            finish: matt white paint  # what is left
            faces:
              # dark on purpose
              back: matt black paint  # no ghost of the LED
              wall 2: matt light grey paint
            leds:
              L: {type: white 0603, at: [34 mm, 26 mm], current: 1 mA}
            baffles:
              middle:
                {from: [24 mm, 17 mm], to: [24 mm, 22 mm], height: 6 mm, sheet: styrene 1.0 mm,
                 finish: matt black paint}
"""


def read(text=TEXT):
    return read_text(text, file="project.yaml")


def box_of(text=TEXT):
    reading = read(text)
    assert reading.design, reading.findings
    ((_, box),) = reading.design.sub_assemblies[0].boxes
    return box


def changed(text, *, path, value, was=""):
    """Make the edit that the page makes when a field of the form is left."""
    edit = {"do": "set", "path": list(path), "value": value, "was": was}
    return edited(text, Edits.model_validate({"label": "Change it", "edits": [edit]}))


def found(old, new):
    """Give the findings of the file with one place changed."""
    assert TEXT.count(old) == 1
    return [one for one in read(TEXT.replace(old, new)).findings if one.code.startswith("PRJ")]


def test_faces_and_baffles_have_their_own_finish():
    box = box_of()
    assert finish_of(box, "back").name == "matt black paint"
    assert finish_of(box, "wall 2").name == "matt light grey paint"
    assert finish_of(box, "wall 1") == finish_of(box, "panel") == box.finish
    assert box.baffles[0].finish == FINISHES["matt black paint"]


def test_a_baffle_without_one_takes_that_of_the_box():
    box = box_of(
        TEXT.replace(
            "sheet: styrene 1.0 mm,\n                 finish: matt black paint",
            "sheet: styrene 1.0 mm",
        )
    )
    assert box.baffles[0].finish is None
    assert in_words(box).startswith("matt white paint, but back matt black paint; wall 2")


@pytest.mark.parametrize(
    ("name", "remedy"),
    [("wall 5", "write wall"), ("Back", "write back"), ("left", "write one of"), ("wal", "write")],
)
def test_a_face_that_is_not_there_is_told_with_what_may_be_written(name, remedy):
    (finding,) = found("wall 2: matt", f"{name}: matt")
    assert finding.code == "PRJ052"
    assert finding.where.line == TEXT[: TEXT.index("wall 2:")].count("\n") + 1
    assert "back, panel, walls, wall 1 to wall 4" in finding.message
    assert finding.remedy.startswith(remedy)


def test_a_round_wall_has_no_numbers():
    (finding,) = found("inside: rectangle 30 x 20 mm ", "inside: round 30 mm ")
    assert finding.code == "PRJ052"
    assert "one piece" in finding.message
    assert "there are: back, panel, walls" in finding.message
    assert not found(
        "inside: rectangle 30 x 20 mm ", "round_walls: flat walls\n            inside: round 30 mm "
    )


def test_a_baffle_among_the_faces_is_sent_to_its_own_key():
    for name in ("middle", "baffle middle"):
        (finding,) = found("wall 2: matt", f"{name}: matt")
        assert finding.remedy == "write finish: at baffle 'middle'"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("back: matt black paint", "back: matt blak paint", "PRJ040"),
        ("                 finish: matt black paint", "                 finish: nothing", "PRJ040"),
        ("back: matt black paint", "back: [matt black paint]", "PRJ024"),
        ("back: matt black paint", "back: ''", "PRJ025"),
        ("back: matt black paint", "back/panel: matt black paint", "PRJ027"),
    ],
)
def test_what_is_no_finish_is_told(old, new, code):
    assert [finding.code for finding in found(old, new)] == [code]


def test_an_unsound_inside_says_nothing_of_its_walls():
    crossing = "{points: [[10 mm, 10 mm], [30 mm, 30 mm], [30 mm, 10 mm], [10 mm, 30 mm]]}"
    codes = {finding.code for finding in found("rectangle 30 x 20 mm  # as the part is", crossing)}
    assert "PRJ052" not in codes


def test_an_edit_of_one_face_keeps_the_comments():
    path = (*BOX, "faces", "back")
    text = changed(TEXT, path=path, value="white card", was="matt black paint")
    assert text == TEXT.replace("back: matt black paint", "back: white card")


def test_a_face_comes_with_its_section_where_there_is_none():
    start, end = TEXT.index("            faces:"), TEXT.index("            leds:")
    bare = TEXT[:start] + TEXT[end:]
    path = (*BOX, "faces", "walls")
    text = changed(bare, path=path, value="white card")
    assert finish_of(box_of(text), "wall 3").name == "white card"
    for line in bare.splitlines():
        assert line in text


def test_the_form_shows_the_faces_that_any_box_has_and_those_of_the_file():
    fields = {field.path[-1]: field for field in form_of(read().tree, path=BOX, scale=24.0).fields}
    assert [fields[face].value for face in ("back", "panel", "walls", "wall 2")] == [
        "matt black paint",
        "",
        "",
        "matt light grey paint",
    ]
    assert fields["back"].label == "back finish"
    assert fields["back"].names == "finishes"
    assert fields["panel"].default == "matt white paint"
    baffle = form_of(read().tree, path=(*BOX, "baffles", "middle"), scale=24.0)
    assert {field.label: field.value for field in baffle.fields}["finish"] == "matt black paint"


def test_a_mend_sets_a_face_whose_name_has_a_blank():
    finding = Finding(
        code="LIT010",
        severity=Severity.WARN,
        where=box_of().where,
        message="",
        remedy="",
        mend=sets("faces 'wall 2'", "white card"),
    )
    assert mended(TEXT, finding=finding) == TEXT.replace("matt light grey paint", "white card")


def test_the_mend_that_paints_it_white_does_what_its_words_promise():
    text = TEXT.replace("evenness: 50 %", "evenness: 70 %")  # 61 % dark, 72 % white
    plan = make.plan(read(text).design)
    finding = next(one for one in plan.findings if one.code == "LIT010")
    assert "paint back, wall 2 and baffle middle 'matt white paint'" in finding.remedy
    after = box_of(mended(text, finding=finding))
    assert in_words(after) == "matt white paint"


PILLARS = """\
            pillars:
              post: {shape: round 1 mm, at: [47 mm, 18 mm], finish: matt black paint}
              row:
                {shape: round 0.5 mm, at: [44 mm, 35 mm], count: 2, step: [3 mm, 0 mm],
                 finish: matt black paint}
              bare: {shape: round 0.5 mm, at: [20 mm, 35 mm]}
"""


def test_the_mend_that_paints_it_white_paints_pillars_and_rows_of_them_too():
    text = TEXT.replace("evenness: 50 %", "evenness: 70 %") + PILLARS
    plan = make.plan(read(text).design)
    finding = next(one for one in plan.findings if one.code == "LIT010")
    assert "pillar post, pillar row1 and pillar row2 'matt white paint'" in finding.remedy
    after = box_of(mended(text, finding=finding))
    assert in_words(after) == "matt white paint"


def white_of(box, *, thorough=False):
    means = Means(films={}, finishes=FINISHES, in_hand=frozenset(), deepest_mm=None)
    panel = read().design.sub_assemblies[0].panels[0]
    listed = variations(panel, box=box, means=means, thorough=thorough)
    return [one for one in listed if in_words(one.box) != in_words(box)]


def test_a_suggested_finish_says_which_faces_it_takes():
    (one,) = white_of(box_of())
    assert one.words == "'bright white emulsion' inside, on back, wall 2, baffle middle too"
    assert in_words(one.box) == "bright white emulsion"
    bright = FINISHES["bright white emulsion"]
    (only_faces,) = white_of(replace(box_of(), finish=bright))
    assert only_faces.words == "'bright white emulsion' on back, wall 2, baffle middle"
    assert not white_of(only_faces.box)


def test_a_suggested_finish_is_written_face_by_face_and_keeps_the_comments():
    reading = read(TEXT + PILLARS)
    request = asked(reading.design, shelf=reading.shelf, box="screen box")
    bright = FINISHES["bright white emulsion"]
    painted = repainted(request.box, finish=bright, instead_of=lambda old: old != bright)
    choice = Choice(
        words="a trial",
        panel=request.panel,
        box=painted,
        openings=(),
        reaches=True,
        strings=1,
        current_A=0.001,
        cd_m2_per_mA=1.0,
        rows=(),
        freed=(),
    )
    text = applied(TEXT + PILLARS, request=request, choice=choice, reason="brighter")
    again = box_of(text)
    assert again.finish == bright
    assert again.faces == painted.faces
    assert again.baffles[0].finish == bright
    assert [one.finish for one in again.pillars] == [bright, bright, bright, None]
    assert "# dark on purpose" in text
    assert "back: bright white emulsion  # no ghost of the LED" in text
    taken = ("back", "wall 2", "baffle middle", "pillar post", "pillar row1", "pillar row2")
    assert repainted_faces(again, before=request.box) == taken


def test_one_dark_face_changes_the_plan_though_nothing_else_does():
    """No cache may hold an answer for another finish: the same file with its faces one by one."""
    plain = set_value(TEXT, (*BOX, "faces", "back"), "matt white paint")
    texts = [TEXT, plain, set_value(plain, (*BOX, "faces", "wall 2"), "matt black paint")]
    means, kept = [], Kept()
    for text in (*texts, *texts):
        (glow,) = make.plan(read(text).design, kept=kept).glows
        means.append(glow.openings[0].mean_cd_m2)
    assert means[:3] == means[3:]
    assert len(set(means)) == len(texts)


POINTS = "{points: [[-15 mm, -10 mm], [15 mm, -10 mm], [15 mm, 10 mm], [-15 mm, 10 mm]]}"
AS_POINTS = TEXT.replace("rectangle 30 x 20 mm", POINTS)
INSIDE = (*BOX, "inside")


def finishes_by_place(text):
    """Give the finish that lies at the middle of each old wall of the rectangle."""
    box = box_of(text)
    spots = {"down": (34, 16), "right": (49, 26), "up": (34, 36), "left": (19, 26)}
    return {side: finish_of(box, wall_beside(box, spot)).name for side, spot in spots.items()}


@pytest.mark.parametrize("own", [1, 2, 3, 4])
@pytest.mark.parametrize("before", [1, 2, 3, 4])
def test_a_corner_more_leaves_each_finish_on_its_wall(own, before):
    text = AS_POINTS.replace("wall 2: matt light", f"wall {own}: matt light")
    spots = {1: (7, -10), 2: (15, 4), 3: (-7, 10), 4: (-15, -4)}
    at = spots[before]
    straight = corner_added(text, path=INSIDE, before=before, at_mm=at)
    assert walls_followed(straight, before=text, path=INSIDE) == straight  # no wall more
    out = (at[0] * 1.2, at[1] * 1.2) if before in (1, 3) else (at[0] * 1.2, at[1])
    bent = corner_moved(straight, path=INSIDE, corner=before, to_mm=out)
    bent = walls_followed(bent, before=straight, path=INSIDE)
    assert len(wall_ring(box_of(bent))) == 5
    assert finishes_by_place(bent) == finishes_by_place(text)
    parted = sum(one.face.startswith("wall") for one in box_of(bent).faces)
    assert parted == (2 if own == before else 1)
    assert "# dark on purpose" in bent
    back = corner_removed(bent, path=INSIDE, corner=before)
    back = walls_followed(back, before=bent, path=INSIDE)
    assert finishes_by_place(back) == finishes_by_place(text)


def test_numbers_are_left_where_no_wall_comes_or_goes():
    moved = corner_moved(AS_POINTS, path=INSIDE, corner=2, to_mm=(9.0, 12.0))
    assert walls_followed(moved, before=AS_POINTS, path=INSIDE) == moved
    opening = (*BOX[:4], "openings", "screen", "shape")
    assert walls_followed(TEXT, before=AS_POINTS, path=opening) == TEXT
