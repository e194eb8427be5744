"""What follows the pointer, against the plan of the file with the items where it left them."""

from pathlib import Path

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Baffle, FaceFinish, Passage, Pillar, Seat
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.plan import make
from lamphouse.plan.live_panel import Draft, LivePanel, Unknown
from lamphouse.plan.pictured import pictured
from lamphouse.project.read import read_project
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import circle
from lamphouse.shapes.transform import move

SAME = 1e-5
"""Both settle to 1e-5 and carry single precision."""
MIXED = 1e-3
"""Two kinds of white LED mix otherwise after the move; while dragging their old mix is kept."""
FILE = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml")


@pytest.fixture(scope="module")
def plan():
    reading = read_project(FILE)
    return make.plan(reading.design, found=reading.findings, places=reading.places)


def wall_with(plan, *, change):
    """Give the plan's design with its instrument wall changed, planned anew."""
    design = plan.design
    subs = tuple(
        change(sub) if sub.name == "instrument wall" else sub for sub in design.sub_assemblies
    )
    return make.plan(replace(design, sub_assemblies=subs))


def with_leds(sub, places):
    boxes = tuple(
        (
            panel,
            replace(
                box,
                leds=tuple(
                    replace(led, x_mm=places[led.name][0], y_mm=places[led.name][1])
                    if led.name in places
                    else led
                    for led in box.leds
                ),
            ),
        )
        for panel, box in sub.boxes
    )
    return replace(sub, boxes=boxes)


def agree(fields, plan, *, box, within=SAME):
    glow = next(one for one in plan.glows if one.box == box)
    pictures = pictured(glow, pixels_per_mm=3.0).pictures
    for one, picture, opening in zip(fields, pictures, glow.openings, strict=True):
        assert one.opening == opening.opening
        assert one.luminance_cd_m2 == pytest.approx(
            picture.luminance_cd_m2, rel=within, abs=within * opening.mean_cd_m2
        )
        assert np.array_equal(one.shown, picture.shown)
        assert one.mean_cd_m2 == pytest.approx(opening.mean_cd_m2, rel=within)
        assert one.evenness == pytest.approx(opening.evenness, rel=1e-3)


def test_moved_leds_glow_as_the_plan_of_the_moved_file_says(plan):
    places = {"P1": (36.5, 70.0), "P3": (55.0, 58.5)}
    live = LivePanel(plan, sub_assembly="instrument wall", panel="wall")
    fields = list(live.fields(Draft(leds=places)))
    anew = wall_with(plan, change=lambda sub: with_leds(sub, places))
    agree(fields, anew, box="plotting box")
    # again, from what is kept by now
    agree(list(live.fields(Draft(leds=places))), anew, box="plotting box")


def test_a_box_with_dark_faces_follows_the_pointer_as_the_plan_does(plan):
    black = built_in().finishes["matt black paint"]
    faces = tuple(FaceFinish(face=face, finish=black) for face in ("back", "wall 2"))

    def painted(sub):
        boxes = tuple((panel, replace(box, faces=faces)) for panel, box in sub.boxes)
        return replace(sub, boxes=boxes)

    places = {"P1": (36.5, 70.0)}
    dark = wall_with(plan, change=painted)
    live = LivePanel(dark, sub_assembly="instrument wall", panel="wall")
    fields = list(live.fields(Draft(leds=places)))
    anew = wall_with(plan, change=lambda sub: with_leds(painted(sub), places))
    agree(fields, anew, box="plotting box")
    white = next(one for one in plan.glows if one.box == "plotting box")
    assert fields[0].mean_cd_m2 < 0.8 * white.openings[0].mean_cd_m2


def tilted(sub):
    """Tilt the LEDs of a sub-assembly's boxes."""
    boxes = tuple(
        (
            panel,
            replace(
                box,
                leds=tuple(replace(led, tilt_deg=35.0, towards_deg=70.0) for led in box.leds),
            ),
        )
        for panel, box in sub.boxes
    )
    return replace(sub, boxes=boxes)


def test_a_tilted_led_keeps_its_lean_while_it_is_dragged(plan):
    leaning = wall_with(plan, change=tilted)
    places = {"P1": (36.5, 70.0)}
    live = LivePanel(leaning, sub_assembly="instrument wall", panel="wall")
    fields = list(live.fields(Draft(leds=places)))
    anew = wall_with(plan, change=lambda sub: with_leds(tilted(sub), places))
    # Two answers that each settle to 1e-5.
    agree(fields, anew, box="plotting box", within=2.0 * SAME)
    flat = list(
        LivePanel(plan, sub_assembly="instrument wall", panel="wall").fields(Draft(leds=places))
    )
    assert fields[0].mean_cd_m2 != pytest.approx(flat[0].mean_cd_m2, rel=0.01)


def test_a_moved_opening_glows_as_the_plan_of_the_moved_file_says(plan):
    def shifted(sub):
        panels = tuple(
            replace(
                panel,
                openings=tuple(
                    replace(
                        one,
                        outline=replace(one.outline, corners=move(one.outline.corners, x_mm=1.5)),
                    )
                    if one.name == "tide board"
                    else one
                    for one in panel.openings
                ),
            )
            for panel in sub.panels
        )
        return replace(sub, panels=panels)

    live = LivePanel(plan, sub_assembly="instrument wall", panel="wall")
    board = next(one for one in live.panel.openings if one.name == "tide board")
    draft = Draft(openings={"tide board": move(board.outline.corners, x_mm=1.5)})
    agree(list(live.fields(draft)), wall_with(plan, change=shifted), box="tide box")


def with_curtain(sub, x_mm):
    """Hang a baffle in the tide box, this far right of its left wall."""

    def hung(box):
        left, bottom, _, top = bounds_mm(box.inside.corners)
        curtain = Baffle(
            name="curtain",
            where=Where(item="curtain"),
            start_mm=(left + x_mm, bottom),
            end_mm=(left + x_mm, top),
            height_mm=box.depth_mm / 2.0,
            sheet=box.sheet,
            seat=Seat.PANEL,
        )
        return replace(box, baffles=(curtain,))

    boxes = tuple((panel, hung(box) if box.name == "tide box" else box) for panel, box in sub.boxes)
    return replace(sub, boxes=boxes)


def test_a_hanging_baffle_that_is_dragged_keeps_hanging(plan):
    first, then = (
        wall_with(plan, change=lambda sub, x_mm=x_mm: with_curtain(sub, x_mm))
        for x_mm in (3.0, 4.5)
    )
    live = LivePanel(first, sub_assembly="instrument wall", panel="wall")
    (moved,) = [
        box.baffles[0]
        for sub in then.design.sub_assemblies
        for _, box in sub.boxes
        if box.name == "tide box"
    ]
    draft = Draft(baffles={("tide box", "curtain"): (moved.start_mm, moved.end_mm)})
    agree(list(live.fields(draft)), then, box="tide box")


def with_pillar(plan, *, x_mm):
    post = Pillar(
        name="post",
        where=Where(item="post"),
        outline=Outline(corners=circle(1.6, x_mm=x_mm, y_mm=71.0), words="", diameter_mm=1.6),
    )

    def pillared(sub):
        boxes = tuple(
            (panel, replace(box, pillars=(post,)) if box.name == "tide box" else box)
            for panel, box in sub.boxes
        )
        return replace(sub, boxes=boxes)

    return wall_with(plan, change=pillared)


def test_a_moved_pillar_glows_as_the_plan_of_the_moved_file_says(plan):
    live = LivePanel(with_pillar(plan, x_mm=100.0), sub_assembly="instrument wall", panel="wall")
    draft = Draft(pillars={("tide box", "post"): circle(1.6, x_mm=118.0, y_mm=71.0)})
    agree(list(live.fields(draft)), with_pillar(plan, x_mm=118.0), box="tide box")


def test_no_led_is_dragged_into_a_pillar(plan):
    live = LivePanel(with_pillar(plan, x_mm=100.0), sub_assembly="instrument wall", panel="wall")
    box = next(one for one in live.boxes if one.name == "tide box")
    (found,) = live.fields(Draft(leds={box.leds[0].name: (100.0, 71.0)}))
    assert isinstance(found, Unknown)
    assert "lamp not in the clear space" in found.why


def test_as_planned_is_what_the_plan_has(plan):
    live = LivePanel(plan, sub_assembly="instrument wall", panel="wall")
    fields = {one.opening: one for one in live.as_planned()}
    assert set(fields) == {"plotting display", "tide board"}
    assert list(live.fields(Draft())) == []


@pytest.mark.parametrize(
    "draft",
    [
        Draft(leds={"P1": (500.0, 0.0)}),
        Draft(
            openings={
                "tide board": ((0.0, 0.0, 0.0), (5.0, 5.0, 0.0), (5.0, 0.0, 0.0), (0.0, 5.0, 0.0))
            }
        ),
        Draft(
            openings={"tide board": ((float("nan"), 0.0, 0.0), (5.0, 5.0, 0.0), (5.0, 0.0, 0.0))}
        ),
        Draft(insides={"tide box": ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0))}),
    ],
)
def test_what_cannot_be_solved_says_why(plan, draft):
    live = LivePanel(plan, sub_assembly="instrument wall", panel="wall")
    found = list(live.fields(draft))
    assert found
    assert all(isinstance(one, Unknown) and one.why for one in found)


def test_a_panel_that_is_not_there_is_refused(plan):
    with pytest.raises(LookupError):
        LivePanel(plan, sub_assembly="instrument wall", panel="roof")


def test_a_moved_led_changes_the_openings_of_the_boxes_beside_it_too(plan):
    def joined(sub):
        boxes = {box.name: (panel, box) for panel, box in sub.boxes}
        panel, tide = boxes["tide box"]
        _, plotting = boxes["plotting box"]
        inside = replace(tide.inside, corners=move(tide.inside.corners, x_mm=-16.0))
        leds = tuple(replace(led, x_mm=led.x_mm - 16.0) for led in tide.leds)
        hole = Passage(
            name="hole",
            where=plotting.where,
            into="tide box",
            start_mm=(64.0, 58.0),
            end_mm=(64.0, 66.0),
            low_mm=5.0,
            high_mm=11.0,
        )
        panels = tuple(
            replace(
                one,
                openings=tuple(
                    replace(
                        each,
                        outline=replace(
                            each.outline, corners=move(each.outline.corners, x_mm=-16.0)
                        ),
                    )
                    if each.name == "tide board"
                    else each
                    for each in one.openings
                ),
            )
            for one in sub.panels
        )
        return replace(
            sub,
            panels=panels,
            boxes=(
                (panel, replace(plotting, passages=(hole,))),
                (panel, replace(tide, inside=inside, leds=leds)),
            ),
        )

    shared = wall_with(plan, change=joined)
    assert any(glow.suite for glow in shared.glows)
    live = LivePanel(shared, sub_assembly="instrument wall", panel="wall")
    places = {"P3": (58.0, 62.0)}
    fields = {one.opening: one for one in live.fields(Draft(leds=places))}
    anew = wall_with(shared, change=lambda sub: with_leds(sub, places))
    for glow in anew.glows:
        for opening in glow.openings:
            if glow.panel == "wall":
                assert fields[opening.opening].mean_cd_m2 == pytest.approx(
                    opening.mean_cd_m2, rel=MIXED
                )
