"""Pages: nothing off the paper, rulers true and clear of the drawing, every piece on some page."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawings.sample_pieces import BOX, CEILING, CROWDED, FASCIA, TITLE, WALL
from drawings.sample_wired import sheets
from lamphouse.drawings.box import box_sheets
from lamphouse.drawings.clip import apart, within
from lamphouse.drawings.drawing import Drawing, Path, Pen, Text
from lamphouse.drawings.face import BACK, panel_sheets
from lamphouse.drawings.figures import rectangle
from lamphouse.drawings.moves import around, bounds
from lamphouse.drawings.page import NO_SCALE, Labelled, lay_out
from lamphouse.drawings.paper import SIZES_MM, Paper
from lamphouse.drawings.ruler import ruler
from lamphouse.record import replace
from tolerances import EXACT

PAPERS = sorted(SIZES_MM)


def labels(paper):
    panels = [sheet for one in (FASCIA, CROWDED, WALL, CEILING) for sheet in panel_sheets(one)]
    wires = sheets(3, 2, 13, paper=paper)
    return [*panels, *box_sheets(BOX), *wires]


@pytest.fixture(scope="module", params=PAPERS)
def pages(request):
    return lay_out(labels(request.param), paper=request.param, title=TITLE)


def texts_of(page):
    return [item for item in page.drawing.items if isinstance(item, Text)]


def words_of(page):
    return [item.words for item in texts_of(page)]


def paper_of(page):
    return Paper(name=page.paper, width_mm=page.drawing.width_mm, height_mm=page.drawing.height_mm)


def test_a_page_is_exactly_its_paper(pages):
    for page in pages:
        size = (page.drawing.width_mm, page.drawing.height_mm)
        assert size in (SIZES_MM[page.paper], SIZES_MM[page.paper][::-1])
        assert (page.drawing.left_mm, page.drawing.bottom_mm) == (0.0, 0.0)


def test_nothing_lies_outside_the_frame(pages):
    for page in pages:
        for item in page.drawing.items:
            assert within(bounds(item), paper_of(page).frame, slack_mm=1e-6), item


def test_the_drawing_keeps_to_its_field_so_the_rulers_stay_clear(pages):
    for page in pages:
        paper = paper_of(page)
        for item in page.drawing.items:
            box = bounds(item)
            homes = (paper.field, paper.band, paper.strip)
            edge = isinstance(item, Path) and item.pen is Pen.FRAME
            assert edge or any(within(box, home, slack_mm=1e-6) for home in homes), item
        assert apart(paper.field, paper.strip)
        assert apart(paper.field, paper.band)


def ticks(page, *, upright):
    """Give where the ticks of a ruler stand along its axis, one set to either side of it."""
    paper = paper_of(page)
    home = paper.strip if upright else paper.band
    along, across = (1, 0) if upright else (0, 1)
    sides = {}
    for item in page.drawing.items:
        if isinstance(item, Path) and item.pen is Pen.SIZE and len(item.corners) == 2:
            if item.closed:
                continue  # the key map's small outlines
            start, end = item.corners
            if within(bounds(item), home) and start[along] == pytest.approx(end[along], abs=1e-6):
                way = end[across] > start[across]
                sides.setdefault(way, []).append(start[along])
    return sides


@pytest.mark.parametrize("upright", [False, True])
def test_both_rulers_are_true_on_every_page_with_lengths(pages, upright):
    for page in pages:
        if page.part.endswith("schematic"):
            continue
        sides = sorted(ticks(page, upright=upright).values(), key=len)
        inches, millimetres = (sorted(side) for side in sides)
        assert len(millimetres) == 101
        assert len(inches) == 65
        # 100 mm; 4 in of exactly 25.4 mm (international inch, 1959).
        assert millimetres[-1] - millimetres[0] == pytest.approx(100.0, abs=EXACT)
        assert inches[-1] - inches[0] == pytest.approx(101.6, abs=EXACT)
        assert millimetres[37] - millimetres[0] == pytest.approx(37.0, abs=EXACT)
        assert inches[24] - inches[0] == pytest.approx(38.1, abs=EXACT)


def test_the_inch_and_the_millimetre_agree_where_they_must():
    # 127 mm are 5 in exactly, so 1 in stands 0.4 mm past the 25 mm tick.
    texts = {item.words: item.x_mm for item in ruler() if isinstance(item, Text)}
    assert texts["100"] == pytest.approx(100.0, abs=EXACT)
    assert texts["4"] == pytest.approx(101.6, abs=EXACT)
    assert texts["1"] - 25.0 == pytest.approx(0.4, abs=EXACT)


def test_every_sheet_says_what_it_is(pages):
    for page in pages:
        words = words_of(page)
        assert {"Saltmarsh", "A", "2026-11-25", "1:24"} <= set(words)
        assert f"{page.number} of {len(pages)}" in words
        if page.part.endswith("schematic"):
            assert NO_SCALE in words
            assert "Not to scale." in words
        else:
            assert "1:1" in words
            assert "Measure both rulers before cutting." in words
            assert "styrene 1.0 mm" in words
            assert page.face in words


def test_pages_are_numbered_and_named_apart(pages):
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))
    assert len({page.name for page in pages}) == len(pages)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_page_among_others_leaves_room_where_its_number_would_stand(paper):
    numbered = lay_out(panel_sheets(CEILING), paper=paper, title=TITLE)
    pages = lay_out(panel_sheets(CEILING), paper=paper, title=TITLE, numbered=False)
    for page, like in zip(pages, numbered, strict=True):
        words = f"{like.number} of {len(numbered)}"
        (number,) = (item for item in texts_of(like) if item.words == words)
        cell = page.unnumbered
        assert (cell.x_mm, cell.y_mm) == pytest.approx((number.x_mm, number.y_mm), abs=EXACT)
        assert cell.heights_mm[0] == number.height_mm
        assert words not in words_of(page)
        assert like.unnumbered is None


def test_small_pieces_share_a_page_and_keep_their_names(pages):
    boxed = [page for page in pages if page.part == "table / screen box"]
    assert len(boxed) == 1
    said = set(words_of(boxed[0]))
    assert {"back", "lid", "long wall, cut 2", "short wall, cut 2", "ledge, cut 2"} <= said


def test_front_and_back_never_share_a_page(pages):
    for page in pages:
        words = set(words_of(page))
        assert not {"FRONT", "BACK - mirrored"} <= words
        assert (page.face == BACK) == ("back, mirrored" in words)


def test_a_lying_page_is_taken_where_it_saves_tiles():
    pages = lay_out(panel_sheets(CEILING)[:1], paper="A4", title=TITLE)
    # 356 x 256 mm with its sizes: upright needs 3 x 2 tiles, lying 2 x 2.
    assert [page.tile for page in pages] == ["A1", "A2", "B1", "B2"]
    assert pages[0].drawing.width_mm > pages[0].drawing.height_mm


def test_unknown_paper_is_refused():
    with pytest.raises(KeyError):
        lay_out(panel_sheets(WALL), paper="napkin", title=TITLE)


def blank(number, width, height):
    outline = rectangle(Pen.CUT, left=0.0, bottom=0.0, right=width, top=height)
    drawing = Drawing(
        name=f"p{number}",
        left_mm=0.0,
        bottom_mm=0.0,
        width_mm=width,
        height_mm=height,
        items=(outline,),
    )
    return Labelled(drawing=drawing, part=f"part {number}", face="inside", sheet="styrene")


SIZES = st.tuples(st.floats(2, 120), st.floats(2, 150))


@settings(max_examples=60, deadline=None)
@given(st.lists(SIZES, min_size=1, max_size=25), st.sampled_from(PAPERS))
def test_packed_pieces_never_meet_and_none_is_lost_or_turned(sizes, paper):
    pages = lay_out(
        [blank(number, *size) for number, size in enumerate(sizes)], paper=paper, title=TITLE
    )
    found = []
    for page in pages:
        cut = [i for i in page.drawing.items if isinstance(i, Path) and i.pen is Pen.CUT]
        boxes = [bounds(item) for item in cut]
        for number, one in enumerate(boxes):
            assert within(one, paper_of(page).field)
            assert all(apart(one, other) for other in boxes[:number])
        found += [(right - left, top - bottom) for left, bottom, right, top in boxes]
    rounded = sorted((round(width, 6), round(height, 6)) for width, height in found)
    assert rounded == sorted((round(width, 6), round(height, 6)) for width, height in sizes)


def test_captions_do_not_lie_on_pieces_or_on_one_another():
    pages = lay_out(
        [blank(number, 8.0 + number, 12.0) for number in range(20)], paper="A4", title=TITLE
    )
    for page in pages:
        field = paper_of(page).field
        texts = [
            bounds(i)
            for i in page.drawing.items
            if isinstance(i, Text) and within(bounds(i), field)
        ]
        cut = [bounds(i) for i in page.drawing.items if i.pen is Pen.CUT]
        for number, one in enumerate(texts):
            assert all(apart(one, other) for other in [*texts[:number], *cut])
    assert around(texts)


LONG = "a name far too long for any box on any sheet of paper anyone would ever print " * 3


def test_a_long_name_is_cut_short_and_stays_on_the_sheet():
    one = blank(1, 30.0, 20.0)
    label = Labelled(drawing=one.drawing, part=LONG, face=LONG, sheet=LONG)
    (page,) = lay_out([label], paper="A4", title=TITLE)
    for item in page.drawing.items:
        assert within(bounds(item), paper_of(page).frame)
    assert any(words.endswith("…") for words in words_of(page))


def test_how_many_to_cut_is_said_of_a_piece_alone_on_its_page_too():
    alone = replace(blank(1, 160.0, 200.0), count=3)
    (page,) = lay_out([alone], paper="A4", title=TITLE)
    assert "part 1, cut 3" in words_of(page)
    (shared,) = lay_out(
        [replace(blank(n, 9.0, 9.0), count=2) for n in (1, 2)], paper="A4", title=TITLE
    )
    assert words_of(shared).count("part 1, cut 2") == 1
    assert "part 1, part 2" in words_of(shared)
