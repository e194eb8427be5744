"""Artwork in the demo: which opening, how it reads, what else would do."""

import numpy as np
import pytest

from lamphouse.colour.print_chart import TYPICAL_OFF
from lamphouse.design.artwork import Artwork, Print, PrintChart, Printer
from lamphouse.findings import Where
from lamphouse.plan import make
from lamphouse.plan.artworked import read_through, studies, study
from lamphouse.plan.print_spread import ink_spread
from lamphouse.plan.print_ways import ways
from lamphouse.plan.printed_opening import backlit, find, inks_of, places, with_print
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text
from lamphouse.record import replace


def read(file):
    text = demo_text("saltmarsh", file)
    return read_text(text, file=file, own_pictures=demo_pictures("saltmarsh"))


@pytest.fixture(scope="module")
def reading():
    return read("mended.yaml")


@pytest.fixture(scope="module")
def plan(reading):
    return make.plan(reading.design, found=reading.findings)


@pytest.fixture(scope="module")
def screen(plan):
    return find(plan.design, glows=plan.glows, name="screen")


def stripes(*colours):
    row = np.repeat(np.array(colours, dtype=np.uint8), 40, axis=0)
    pixels = np.repeat(row[None], 100, axis=0)
    return Artwork(file="s.png", columns=pixels.shape[1], rows=100, pixels=pixels.tobytes())


def test_an_opening_is_found_by_any_of_its_names(plan, screen):
    for name in ("top / screen", "chart table / top / screen", "chart table / screen"):
        assert find(plan.design, glows=plan.glows, name=name) == screen
    with pytest.raises(LookupError, match="did you mean 'screen'"):
        find(plan.design, glows=plan.glows, name="screem")
    with pytest.raises(LookupError, match="there is: "):
        find(plan.design, glows=plan.glows, name="nothing like it")


def test_brightness_is_that_of_the_glow(plan, screen):
    own = backlit(
        screen,
        layers=screen.opening.layers,
        inks=inks_of(screen.opening.layers[-1].printed),
        room=plan.design.room,
    )
    assert own.clear_cd_m2 == pytest.approx(screen.shown.mean_cd_m2, rel=1e-9)


def test_the_room_makes_of_clear_places_what_the_glow_says(plan, screen):
    (study,) = studies(plan.design, glows=plan.glows)
    thrown = study.look.clear.thrown[0, 1]
    assert thrown == pytest.approx(screen.shown.room_cd_m2, rel=1e-3)


def test_the_planted_single_film_is_found_and_its_mend_mends_it():
    first = read("project.yaml")
    told = [one for one in make.plan(first.design).findings if one.code == "COL020"]
    assert [one.where.item for one in told] == ["chart table / top / screen"]
    assert "films: 2" in told[0].remedy
    text = demo_text("saltmarsh").replace(
        "{film: print film, artwork", "{film: print film, films: 2, artwork"
    )
    mended = read_text(text, file="project.yaml", own_pictures=demo_pictures("saltmarsh"))
    plan = make.plan(mended.design)
    assert "COL020" not in {one.code for one in plan.findings}
    (figures,) = plan.prints
    assert (figures.films, figures.artwork) == (2, "tide_chart.png")
    assert figures.out_of_reach <= 0.05
    assert figures.difference_as_made < 0.7 * figures.difference_as_drawn


def test_a_warm_white_is_ranked_before_a_cool_one_for_an_all_red_picture(reading, plan, screen):
    # Common practice, no source: a warm white keeps a red print's colour better. Nothing in the
    # ranking knows of red.
    print_ = Print(artwork=stripes((190, 20, 30), (150, 15, 20), (220, 60, 40)))
    layers = with_print(screen.opening.layers, print_=print_, films=1)
    args = {"print_": print_, "layers": layers, "shelf": reading.shelf, "room": plan.design.room}
    kept = {(way.films, way.gel, way.led): way for way in ways(screen, **args)}
    films = {films for films, gel, led in kept if gel or led}
    (count,) = films
    warm, cool = kept[count, "", "warm white 0603"], kept[count, "", ""]
    assert warm.chroma_kept > cool.chroma_kept


def test_a_red_gel_brings_back_an_all_red_picture_on_one_film(plan, reading, screen):
    # Common practice, no source.
    print_ = Print(artwork=stripes((190, 20, 30), (150, 15, 20)))
    found = {}
    for gel in ("", "red gel"):
        layers = with_print(
            screen.opening.layers,
            print_=print_,
            films=1,
            gel=reading.shelf.film_types[gel] if gel else None,
        )
        read_ = read_through(screen, print_=print_, layers=layers, room=plan.design.room)
        found[gel] = read_.as_made
    assert found["red gel"].chroma_kept > found[""].chroma_kept
    assert found["red gel"].difference < found[""].difference


def test_ways_are_ranked_and_cost_light(plan, reading, screen):
    print_ = screen.opening.layers[-1].printed
    found = ways(
        screen,
        print_=print_,
        layers=screen.opening.layers,
        shelf=reading.shelf,
        room=plan.design.room,
    )
    assert [way.difference for way in found] == sorted(way.difference for way in found)
    own = next(way for way in found if (way.films, way.gel, way.led) == (2, "", ""))
    assert own.light == pytest.approx(1.0)
    assert all(way.light < 1.0 for way in found if way.gel)


def test_print_layers_are_put_where_they_belong(reading):
    films = reading.shelf.film_types
    print_ = Print(artwork=stripes((0, 0, 0)), printer=Printer.LASER)
    bare = with_print((), print_=print_, film=films["print film"], films=2, gel=films["red gel"])
    assert [(layer.film.name, layer.count, layer.printed) for layer in bare] == [
        ("red gel", 1, None),
        ("print film", 2, print_),
    ]
    again = with_print(bare, print_=replace(print_, black_passes=0.01), films=1)
    assert [layer.count for layer in again] == [1, 1]
    assert again[1].printed.black_passes == 0.01


def test_an_opening_without_a_print_says_nothing(plan):
    assert len(list(places(plan.design, glows=plan.glows))) > len(plan.prints) == 1


def charted_project(reading, **bands):
    """Give the layers of the screen with a chart whose patches read so much of bare film."""
    film = reading.shelf.film_types["print film"]
    lit = (("bare", (240.0,) * 3), *((name, (value,) * 3) for name, value in bands.items()))
    return PrintChart(name="ours", where=Where(item="ours"), film=film, lit=lit)


def test_a_chart_of_thin_ink_makes_a_print_paler_and_denser_ink_richer(plan, reading, screen):
    """Readings of a black patch: 75 of 240 is 7.7 % of the light, 20 of 240 is 0.8 % [SRGB]."""
    own = screen.opening.layers[-1].printed
    black = {}
    for name, value in (("thin", 75.0), ("dense", 20.0)):
        print_ = replace(own, chart=charted_project(reading, black=value))
        layers = with_print(screen.opening.layers, print_=print_, films=1)
        found = study(screen, print_=print_, layers=layers, room=None)
        black[name] = found.look.black
    assert black["thin"] == pytest.approx(0.077, rel=0.12)
    assert black["dense"] == pytest.approx(0.0075, rel=0.25)


def test_the_spread_of_the_inks_lies_on_both_sides_and_shrinks_with_a_chart(plan, reading, screen):
    own = screen.opening.layers[-1].printed
    generic = study(screen, print_=own, layers=screen.opening.layers, room=plan.design.room)
    spread = ink_spread(generic)
    assert (spread.off, spread.chart) == ((TYPICAL_OFF,) * 4, "")
    assert spread.thinner.light > generic.as_made.light > spread.denser.light
    print_ = replace(own, chart=charted_project(reading, black=41.0, grey=145.0))
    layers = with_print(screen.opening.layers, print_=print_)
    known = ink_spread(study(screen, print_=print_, layers=layers, room=plan.design.room))
    assert known.chart == "ours"
    assert known.off[3] < TYPICAL_OFF
    between = known.thinner.light - known.denser.light
    assert between < spread.thinner.light - spread.denser.light
