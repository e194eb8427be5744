"""Tours of the demos against the demos: what is marked as planted is led to, found, and mended."""

import re

import pytest

from lamphouse.plan import make
from lamphouse.project.mending import mended
from lamphouse.project.starter import DEMOS, demo_text
from lamphouse.project.tours import tour_of, tours
from project.projects import read


def found(text):
    reading = read(text)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    return plan.design, plan.findings


@pytest.fixture(scope="module", params=DEMOS)
def demo(request):
    return request.param


@pytest.fixture(scope="module")
def planted(demo):
    return found(demo_text(demo))


@pytest.fixture(scope="module")
def tour(planted):
    return tour_of(planted[0])


def test_every_mistake_marked_in_the_file_has_its_stop(demo, tour):
    # The marks are comments for the reader of the file, which no program reads.
    marked = re.findall(r"[#;] ?.*\bplanted: ", demo_text(demo))
    assert len(marked) == len(tour.stops) > 2


def test_the_demo_leads_by_its_own_tour(demo, tour):
    assert tours()[demo] is tour


def test_what_is_told_of_the_demo_is_so(planted, tour):
    design, _ = planted
    strands = sum(len(sub.strands) for sub in design.sub_assemblies)
    leds = sum(len(sub.leds()) for sub in design.sub_assemblies)
    told = {int(number) for number in re.findall(r"(\d+) (?:fibres|LEDs)", tour.about)}
    assert told <= {strands, leds}
    assert f"1:{design.scale:g}" in tour.about


def test_every_stop_stands_at_first_and_not_in_the_mended_model(demo, tour, planted):
    design, findings = planted
    assert [stop.title for stop in tour.stops if not stop.stands(findings)] == []
    other, after = found(demo_text(demo, "mended.yaml"))
    assert [stop.title for stop in tour.stops if stop.stands(after)] == []
    assert tour_of(other) is None
    assert design.name == other.name


def test_every_stop_leads_to_a_place_of_the_model(tour, planted):
    subs = {sub.name: {panel.name for panel in sub.panels} for sub in planted[0].sub_assemblies}
    for stop in tour.stops:
        if "sub" in stop.place:
            assert stop.place.get("panel") in (None, *subs[stop.place["sub"]])


def test_saltmarsh_is_mended_by_its_buttons_alone():
    text = demo_text("saltmarsh")
    design, _ = found(text)
    for stop in tour_of(design).stops:
        (one,) = [each for each in found(text)[1] if stop.stands([each])]
        text = mended(text, finding=one)
    _, left = found(text)
    assert {one.severity.value for one in left} == {"note"}
    assert {one.code for one in left} == {"BLK002", "CUT077", "LIT009"}  # as in mended.yaml
