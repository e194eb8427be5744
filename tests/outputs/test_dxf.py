"""DXF read back by an independent library, with its auditor, and the same bytes twice."""

import hashlib
import io
import os
import subprocess
import sys
from pathlib import Path as FilePath

import ezdxf
import pytest
from ezdxf import bbox, recover
from ezdxf.math import bulge_center, bulge_radius
from ezdxf.tools.text import caret_decode
from hypothesis import given, settings
from hypothesis import strategies as st

from drawings.sample_pieces import BACK, TITLE, WALL
from lamphouse.drawings.drawing import Drawing, Path, Pen, Text
from lamphouse.drawings.face import draw, panel_sheets
from lamphouse.drawings.page import lay_out
from lamphouse.drawings.pens import CUTTER, STYLES
from lamphouse.outputs.dxf import layer_name, render
from tolerances import EXACT

MILLIMETRES = 4
"""$INSUNITS of the DXF reference."""


def opened(data):
    document, auditor = recover.read(io.BytesIO(data))
    assert not auditor.errors
    assert not auditor.fixes
    return document


def drawing(*items):
    return Drawing(
        name="sample", left_mm=0.0, bottom_mm=0.0, width_mm=100.0, height_mm=80.0, items=items
    )


def pages():
    return [page.drawing for page in lay_out(panel_sheets(WALL), paper="A4", title=TITLE)]


@pytest.mark.parametrize("one", [draw(WALL), draw(BACK), *pages()], ids=lambda one: one.name)
def test_the_auditor_has_nothing_to_say(one):
    document = opened(render(one))
    assert document.header["$INSUNITS"] == MILLIMETRES
    assert document.dxfversion == "AC1024"


def test_a_full_size_panel_measures_what_it_should():
    space = opened(render(draw(WALL), pens={Pen.CUT})).modelspace()
    extents = bbox.extents(space)
    assert extents.size.x == pytest.approx(160.0, abs=EXACT)
    assert extents.size.y == pytest.approx(110.0, abs=EXACT)


def test_arcs_stay_arcs():
    space = opened(render(draw(WALL), pens={Pen.CUT})).modelspace()
    (round_,) = (line for line in space if len(line) == 2)
    (x0, y0, _, _, bulge), (x1, y1, _, _, _) = round_.get_points()
    assert bulge_radius((x0, y0), (x1, y1), bulge) == pytest.approx(16.0, abs=EXACT)
    centre = bulge_center((x0, y0), (x1, y1), bulge)
    assert tuple(centre) == pytest.approx((45.0, 62.0), abs=1e-6)
    assert round_.closed


def test_cutters_get_the_piece_and_nothing_else():
    document = opened(render(draw(BACK), pens=CUTTER))
    layers = {entity.dxf.layer for entity in document.modelspace()}
    assert layers == {"CUT", "MARK"}
    assert not document.modelspace().query("TEXT")
    named = {layer.dxf.name for layer in document.layers} - {"0", "Defpoints"}
    assert named == {layer_name(pen) for pen in CUTTER}


def test_each_pen_has_a_layer_with_its_line_type_and_width():
    document = opened(render(draw(WALL)))
    for pen, style in STYLES.items():
        layer = document.layers.get(layer_name(pen))
        assert layer.dxf.lineweight == round(style.width_mm * 100)
        pattern = document.linetypes.get(layer.dxf.linetype).pattern_tags
        lengths = [abs(tag.value) for tag in pattern.tags if tag.code == 49]
        assert lengths == pytest.approx(list(style.dashes_mm), abs=EXACT)


def test_filled_shapes_follow_the_colour_of_their_layer():
    hatches = opened(render(draw(BACK))).modelspace().query("HATCH")
    assert hatches
    assert {hatch.dxf.color for hatch in hatches} == {ezdxf.colors.BYLAYER}


def shown(entity):
    """Give a text as a program shows it: the DXF reference's ``%%%`` and ``^`` decoded."""
    return caret_decode(entity.dxf.text).replace("%%%", "%")


SIGNS = st.characters(codec="utf-8", exclude_categories=("Cc", "Zl", "Zp"))


@settings(max_examples=30, deadline=None)
@given(st.text(SIGNS, max_size=30))
def test_words_read_back_as_written(words):
    text = Text(x_mm=1.0, y_mm=2.0, words=words, height_mm=2.5)
    (entity,) = opened(render(drawing(text))).modelspace()
    assert shown(entity) == words


@pytest.mark.parametrize("words", ["100 %%d", "50 %", "%%%", "a^Jb", "two\nlines", "\x00", "Ø 3 °"])
def test_words_that_look_like_commands_stay_words(words):
    text = Text(x_mm=1.0, y_mm=2.0, words=words, height_mm=2.5)
    (entity,) = opened(render(drawing(text))).modelspace()
    expected = words.replace("\n", " ").replace("\x00", "\ufffd")
    assert shown(entity) == expected


def test_text_keeps_its_place_height_and_turn():
    text = Text(x_mm=10.0, y_mm=20.0, words="110", height_mm=2.2, turn_deg=90.0)
    (entity,) = opened(render(drawing(text))).modelspace()
    assert entity.dxf.height == pytest.approx(2.2, abs=EXACT)
    assert entity.dxf.rotation == pytest.approx(90.0, abs=EXACT)
    _, place, _ = entity.get_placement()
    assert tuple(place)[:2] == pytest.approx((10.0, 20.0), abs=EXACT)


SCRIPT = """
import hashlib
from drawings.sample_pieces import WALL
from lamphouse.drawings.face import draw
from lamphouse.outputs.dxf import render
print(hashlib.sha256(render(draw(WALL))).hexdigest())
"""


def test_the_same_bytes_in_another_process_with_another_hash_seed_and_time_zone(tmp_path):
    tests = FilePath(__file__).parents[1]
    path = os.pathsep.join([str(tests), str(tests.parent / "src")])
    for seed, zone in (("1", "Asia/Tokyo"), ("2", "America/Lima")):
        environment = {**os.environ, "PYTHONPATH": path, "PYTHONHASHSEED": seed, "TZ": zone}
        told = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            capture_output=True,
            text=True,
            check=True,
            cwd=tmp_path,
            env=environment,
        ).stdout
        assert told.strip() == hashlib.sha256(render(draw(WALL))).hexdigest()


def test_the_librarys_switch_is_put_back():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    render(drawing(Path(pen=Pen.CUT, corners=((0.0, 0.0, 0.0), (1.0, 1.0, 0.0)))))
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_no_file_holds_anything_of_the_one_before():
    first = render(draw(WALL))
    assert len(opened(render(drawing())).modelspace()) == 0
    with pytest.raises(TypeError):
        render(drawing(draw(BACK).items[0], Path(pen=Pen.CUT, corners=None)))
    assert render(draw(WALL)) == first
