"""A project whose boxes share an opening: its figures, pictures and second opinion."""

from io import StringIO
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.strand import Strand
from lamphouse.drawings.drawing import Text
from lamphouse.findings import Severity
from lamphouse.light.box_scene import draw_box
from lamphouse.light.leak_look import LeakKind
from lamphouse.light.opening_colour import kinds_apart
from lamphouse.light.solved_box import solve_box
from lamphouse.outputs.glow_views import section_of
from lamphouse.plan import make
from lamphouse.plan.asking import asked
from lamphouse.plan.colour_choices import colour_choices
from lamphouse.plan.pictured import pictured
from lamphouse.plan.printed_opening import find
from lamphouse.plan.second_opinion import second_opinions
from lamphouse.plan.suggest import suggest
from lamphouse.plan.suggestion import Refusal
from lamphouse.project.applying import applied
from lamphouse.project.read import read_text
from lamphouse.record import replace
from tolerances import EXACT

SOUND = Path(__file__).parents[1] / "rules" / "sound.yaml"

BAY = """
inside: rectangle 18 x 28 mm
at: [58 mm, 25 mm]
depth: 11 mm
sheet: styrene 1.0 mm
finish: matt white paint
"""

SLOT = "{into: bay box, from: [47 mm, 20 mm], to: [47 mm, 30 mm], low: 4 mm, high: 10 mm}"

WINDOW = "{shape: rectangle 12 x 16 mm, at: [58 mm, 25 mm], layers: [opal film 60]}"


@pytest.fixture(scope="module")
def text(tmp_path_factory):
    yaml = YAML(typ="safe", pure=True)
    whole = yaml.load(SOUND.read_text(encoding="utf-8"))
    top = whole["sub_assemblies"]["desk"]["panels"]["top"]
    del top["strands"]
    top["openings"]["bay"] = yaml.load(WINDOW)
    top["boxes"]["screen box"]["passages"] = {"slot": yaml.load(SLOT)}
    top["boxes"]["bay box"] = yaml.load(BAY)
    file = tmp_path_factory.mktemp("shared") / "project.yaml"
    yaml.dump(whole, file)
    return file.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def reading(text):
    return read_text(text, file="project.yaml")


@pytest.fixture(scope="module")
def plan(reading):
    return make.plan(reading.design, found=reading.findings)


def test_the_passage_is_read(reading):
    boxes = {box.name: box for _, box in reading.design.sub_assemblies[0].boxes}
    (slot,) = boxes["screen box"].passages
    assert (slot.into, slot.start_mm, slot.end_mm) == ("bay box", (47.0, 20.0), (47.0, 30.0))
    assert (slot.low_mm, slot.high_mm, slot.film) == (4.0, 10.0, None)


def test_the_box_without_an_led_has_figures(plan):
    glows = {glow.box: glow for glow in plan.glows}
    bay, screen = glows["bay box"].openings[0], glows["screen box"].openings[0]
    assert 0.0 < bay.mean_cd_m2 < 0.2 * screen.mean_cd_m2
    assert bay.bar_cd_m2 < 0.02 * bay.mean_cd_m2
    assert not {finding.code for finding in plan.findings} & {"LIT002", "LIT004"}


def test_its_band_follows_its_neighbours_circuit(plan):
    """It has no current of its own; what its neighbour's LEDs may do is its band."""
    glows = {glow.box: glow for glow in plan.glows}
    bay, screen = glows["bay box"].openings[0], glows["screen box"].openings[0]
    for end in ("low_cd_m2", "high_cd_m2"):
        own, theirs = (getattr(one, end) / one.mean_cd_m2 for one in (bay, screen))
        assert own == pytest.approx(theirs, rel=0.03)


def test_its_picture_has_its_mean(plan):
    for glow in plan.glows:
        (picture,) = pictured(glow).pictures
        mean = picture.luminance_cd_m2[picture.shown].mean()
        assert mean == pytest.approx(glow.openings[0].mean_cd_m2, rel=0.02)
        assert np.all(picture.luminance_cd_m2 >= 0.0)


def test_random_walks_agree(plan):
    pytest.importorskip("numba")
    opinions = second_opinions(
        plan.glows, seed=7, tell=lambda *_: None, relative_error=0.005, most_walks=100_000
    )
    for glow, opinion in zip(plan.glows, opinions, strict=True):
        judged, (seen,) = glow.openings[0], opinion.found
        allowed = 3.0 * seen.error_cd_m2 + judged.bar_cd_m2
        assert abs(seen.mean_cd_m2 - judged.mean_cd_m2) < allowed


def test_the_passage_is_cut_into_both_boxes_and_nothing_is_said_against_it(plan):
    named = sorted(piece.name for piece in plan.pieces() if "slot" in piece.cutout_names)
    assert named == ["desk / top / bay box / wall 4", "desk / top / screen box / wall 2"]
    told = {one.code for one in plan.findings if one.severity is not Severity.NOTE}
    assert not [code for code in told if code.startswith(("CUT", "PRJ"))]


def test_both_sections_show_it(plan):
    (panel,) = plan.design.sub_assemblies[0].panels
    for glow in plan.glows:
        drawing = section_of(plan, pictured(glow), panel=panel)
        said = " ".join(item.words for item in drawing.items if isinstance(item, Text))
        assert "passage slot to" in said


def test_a_strand_in_the_box_without_an_led_is_judged(reading):
    sub = reading.design.sub_assemblies[0]
    fibre = built_in().fibre_types["fibre 0.5 mm"]
    strand = Strand(
        name="K", where=sub.panels[0].where, fibre=fibre, x_mm=51.0, y_mm=36.0, hole_mm=None,
        group="steady",
    )  # fmt: skip
    changed = replace(sub, strands=(("top", strand),))
    found = make.plan(replace(reading.design, sub_assemblies=(changed,)))
    (leaks,) = [one for one in found.leaks if one.box.name == "bay box"]
    assert LeakKind.ENTRY in {leak.kind for leak in leaks.leaks}


@pytest.fixture(scope="module")
def suggested(reading):
    request = asked(reading.design, shelf=reading.shelf, box="screen box")
    return request, suggest(reading.design, request=request)


def shared_glows(text, *, request, choice):
    again = read_text(
        applied(text, request=request, choice=choice, reason="a trial"),
        file="project.yaml",
    )
    return make.plan(again.design, found=again.findings, places=again.places).glows


def test_suggestions_hold_beside_the_boxes_that_share_the_light(text, suggested):
    request, told = suggested
    assert len(told.choices) >= 2
    assert told.proof.startswith("proved: no fewer than")
    for choice in told.choices:
        assert choice.reaches
        (glow,) = [
            one
            for one in shared_glows(text, request=request, choice=choice)
            if one.box == "screen box"
        ]
        assert glow.suite is not None
        for shown, promised in zip(glow.openings, choice.openings, strict=True):
            assert shown.mean_cd_m2 == pytest.approx(promised.mean_cd_m2, rel=EXACT)
            assert shown.evenness == pytest.approx(promised.evenness, rel=EXACT)


@pytest.mark.slow
def test_the_second_opinion_agrees_with_every_suggestion_within_one_percent(text, suggested):
    pytest.importorskip("numba")
    from lamphouse.light.verify import Effort
    from lamphouse.light.verify_suite import verify_suite

    request, told = suggested
    for choice in told.choices:
        glows = shared_glows(text, request=request, choice=choice)
        (glow,) = [one for one in glows if one.box == "screen box"]
        (opinion,) = verify_suite(
            glow.suite,
            seed=3,
            effort=Effort(relative_error=2e-3, most_walks=5_000_000),
            only=glow.number,
        )
        for seen, promised in zip(opinion.openings, choice.openings, strict=True):
            assert promised.mean_cd_m2 == pytest.approx(seen.mean_cd_m2, rel=0.01)


def test_leds_that_lean_are_placed_beside_the_boxes_that_share_the_light(text):
    yaml = YAML(typ="safe", pure=True)
    whole = yaml.load(text)
    box = whole["sub_assemblies"]["desk"]["panels"]["top"]["boxes"]["screen box"]
    box["leds"]["W"] |= {"tilt": "40 deg", "towards": "0 deg"}
    out = StringIO()
    yaml.dump(whole, out)
    leaning = out.getvalue()
    read = read_text(leaning, file="project.yaml")
    request = asked(read.design, shelf=read.shelf, box="screen box")
    told = suggest(read.design, request=request)
    choice = next(one for one in told.choices if "tilted 40 deg to the right" in one.words)
    assert choice.reaches
    assert {led.tilt_deg for led in choice.box.leds} == {40.0}
    glows = shared_glows(leaning, request=request, choice=choice)
    (glow,) = [one for one in glows if one.box == "screen box"]
    for shown, promised in zip(glow.openings, choice.openings, strict=True):
        assert shown.mean_cd_m2 == pytest.approx(promised.mean_cd_m2, rel=EXACT)


def test_a_box_lit_through_a_passage_alone_gets_leds_of_its_own(reading):
    """The light that comes through counts: the class is met by both together."""
    sub = reading.design.sub_assemblies[0]
    kind = next(led.led_type for _, box in sub.boxes for led in box.leds)
    request = replace(
        asked(reading.design, shelf=reading.shelf, box="bay box"),
        led_type=kind,
        look=replace(reading.design.looks[0], least_cd_m2=8.0, most_cd_m2=30.0, evenness=0.5),
    )
    told = suggest(reading.design, request=request)
    assert told.drawn is None
    assert any(choice.reaches for choice in told.choices)


@pytest.fixture(scope="module")
def both_lit(text):
    """Give the project with a warm white LED in the second box too."""
    yaml = YAML(typ="safe", pure=True)
    whole = yaml.load(text)
    boxes = whole["sub_assemblies"]["desk"]["panels"]["top"]["boxes"]
    lamp = {"type": "warm white 0603", "at": ["58 mm", "25 mm"], "current": "1 mA"}
    boxes["bay box"]["leds"] = {"B": lamp}
    out = StringIO()
    yaml.dump(whole, out)
    return out.getvalue()


def choices_for(text, opening, wanted):
    read = read_text(text, file="project.yaml")
    place = find(read.design, glows=make.plan(read.design).glows, name=opening)
    return place, colour_choices(read.design, place=place, shelf=read.shelf, wanted=wanted)


@pytest.mark.parametrize("opening", ["screen", "bay"])
def test_a_colour_chosen_where_light_is_shared_plans_as_promised(both_lit, opening):
    place, found = choices_for(both_lit, opening, "amber")
    assert found.is_reachable
    for one in found.choices:
        assert one.is_met
        # the resistors that are sold; the other box keeps its light
        assert one.shown.mean_cd_m2 == pytest.approx(place.shown.mean_cd_m2, rel=0.25)
    first = found.choices[0]
    text = applied(both_lit, request=found.request, choice=first.choice, reason="a trial")
    read = read_text(text, file="project.yaml")
    shown = find(read.design, glows=make.plan(read.design).glows, name=opening).shown
    assert shown.mean_cd_m2 == pytest.approx(first.shown.mean_cd_m2, rel=EXACT)
    assert shown.colour.lab == pytest.approx(first.shown.colour.lab, rel=EXACT)
    assert shown.colour.name == "amber"


def test_the_light_of_two_boxes_adds_up(both_lit):
    """Light is linear: what an opening gets of its own LEDs and of the others' is what it has."""
    (sub,) = read_text(both_lit, file="project.yaml").design.sub_assemblies
    (panel,), (own, other) = sub.panels, (box for _, box in sub.boxes)
    drawn = draw_box(panel, box=own, currents={}, beside=(other,))
    means = {
        lit: kinds_apart(drawn, lit=lit)
        for lit in (frozenset({0}), frozenset({1}), frozenset({0, 1}))
    }
    by_box = [sum(each[0] for each in half.values()) for half in means.values()]
    assert by_box[0] > 0.0 < by_box[1]
    assert by_box[0] + by_box[1] == pytest.approx(by_box[2], rel=EXACT)
    solved = solve_box(drawn, currents=(), looks=(), room=None, without=frozenset())
    assert by_box[2] == pytest.approx(solved.looks[0].mean_cd_m2, rel=0.01)


def test_a_box_without_an_led_has_no_colour_to_choose(text):
    _, found = choices_for(text, "bay", "amber")
    assert isinstance(found, Refusal)
    assert "has no LED" in found.reason
