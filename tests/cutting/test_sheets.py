"""Pieces on stock sheets: always proved, always the same, holes and offcuts used."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.stock_samples import in_hand, piece, plate
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.cutting.sheet_proof import LayoutFault, prove
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.design.cutting_habits import CuttingHabits, LockedPiece, Turns
from lamphouse.findings import Where
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import circle, polygon, rectangle

HABITS = CuttingHabits()


def lay(pieces, stock=(), *, habits=HABITS, tries=8):
    locked, _ = look_at_sheets(pieces, in_hand=stock, habits=habits)
    return lay_on_sheets(
        pieces, in_hand=stock, habits=habits, locked=locked, seed=1, most_tries=tries
    )


def locked(name, x, y, *, stock=1, turn=0.0):
    return LockedPiece(
        where=Where(item="cutting / locked / 1"),
        piece=name,
        stock=stock,
        x_mm=x,
        y_mm=y,
        turn_deg=turn,
    )


def box_of(laid):
    return bounds_mm(laid.placed(laid.piece.outline.corners))


side = st.floats(4, 90).map(lambda value: round(value, 2))


@st.composite
def random_pieces(draw):
    made = []
    for number in range(draw(st.integers(1, 9))):
        wide, high = draw(side), draw(side)
        cutouts = []
        kind = draw(st.sampled_from(["plate", "ring", "ell", "disc"]))
        if kind == "ell":
            corners = polygon(
                [
                    (0, 0),
                    (wide, 0),
                    (wide, high / 3),
                    (wide / 3, high / 2),
                    (wide / 4, high),
                    (0, high),
                ]
            )
        elif kind == "disc":
            corners = circle(wide, x_mm=3, y_mm=-4)
        else:
            corners = rectangle(wide, height_mm=high, x_mm=7)
        if kind == "ring":
            cutouts = [rectangle(0.8 * wide, height_mm=0.7 * high, x_mm=7)]
        made.append(
            piece(
                f"piece {number}",
                corners,
                cutouts=cutouts,
                grain=draw(st.sampled_from(["", "along x", "along y"])),
                count=draw(st.integers(1, 3)),
                thickness_mm=draw(st.sampled_from([1.0, 0.5])),
            )
        )
    return made


@settings(max_examples=15)
@given(
    random_pieces(),
    st.sampled_from([0.0, 0.7, 2.0, 3.3]),
    st.sampled_from([0.0, 2.0, 4.5]),
    st.sampled_from(list(Turns)),
    st.randoms(use_true_random=False),
)
def test_whatever_the_pieces_the_proof_holds_and_their_order_does_not_matter(
    pieces, gap, edge, turns, chance
):
    habits = CuttingHabits(gap_mm=gap, edge_mm=edge, turns=turns)
    stock = [in_hand(120, 95, count=2), in_hand(61.3, 44)]
    found = lay(pieces, stock, habits=habits)  # proved within
    mixed = list(pieces)
    chance.shuffle(mixed)
    assert lay(mixed, stock, habits=habits) == found


def test_squares_that_just_fit_fill_a_sheet():
    found = lay([plate("square", 48, 48, count=12)], [in_hand(202, 152)])
    assert [len(sheet.laid) for sheet in found.sheets] == [12]  # 4 x 50 + 2, 3 x 50 + 2 mm
    assert found.to_buy() == {}


def test_the_small_offcut_is_used_before_the_whole_sheet():
    found = lay([plate("strip", 70, 10)], [in_hand(300, 200), in_hand(80, 20)])
    assert [(sheet.stock, sheet.width_mm) for sheet in found.sheets] == [(2, 80)]


def test_what_the_stock_lacks_is_bought_in_whole_sheets():
    found = lay([plate("half", 290, 90, count=5)], [in_hand(300, 200)])
    assert found.to_buy() == {"styrene 1.0 mm": 2}
    assert [sheet.stock for sheet in found.sheets] == [1, None, None]


def test_a_piece_lies_in_the_cut_out_of_another_and_is_cut_first():
    frame = plate("frame", 196, 96, cutouts=[rectangle(180, height_mm=80)])
    found = lay([frame, plate("inlay", 170, 70)], [in_hand(200, 100)])
    (sheet,) = found.sheets
    assert [one.piece.name for one in sheet.laid] == ["inlay", "frame"]
    assert [one.order for one in sheet.laid] == [1, 2]


def test_a_large_piece_in_a_cut_out_comes_before_the_thin_frame_round_it():
    frame = plate("frame", 196, 96, cutouts=[rectangle(190, height_mm=90)])
    small = plate("small", 5, 5)
    found = lay([frame, plate("inlay", 180, 80), small], [in_hand(200, 100)])
    names = [one.piece.name for one in found.sheets[0].laid]
    assert names.index("inlay") < names.index("frame")


def test_small_pieces_come_before_large_ones():
    found = lay([plate("large", 90, 60), plate("small", 20, 10), plate("middling", 50, 40)])
    assert [one.piece.name for one in found.sheets[0].laid] == ["small", "middling", "large"]


@pytest.mark.parametrize(("grain", "turns"), [("along x", {0, 180}), ("along y", {90, 270})])
def test_grain_is_kept_to_the_width_of_the_sheet(grain, turns):
    found = lay([plate("tall", 20, 90, grain=grain, count=4)], [in_hand(300, 200)])
    assert {one.turn_deg for sheet in found.sheets for one in sheet.laid} <= turns


def test_a_free_turn_lays_what_quarter_turns_cannot():
    diagonal = plate("diagonal", 128, 6)  # longer than the sheet is wide
    stock, habits = [in_hand(110, 110)], CuttingHabits(turns=Turns.FREE)
    assert lay([diagonal], stock).sheets[0].stock is None
    assert lay([diagonal], stock, habits=habits).sheets[0].stock == 1


def test_what_fits_no_sheet_is_told_and_the_rest_is_laid():
    found = lay([plate("huge", 400, 50), plate("small", 20, 10)])
    assert [one.name for one in found.unlaid] == ["huge"]
    assert len(found.sheets[0].laid) == 1


def test_a_locked_piece_lies_where_it_is_locked_and_the_others_round_it():
    habits = CuttingHabits(locked=(locked("key", 100, 60, turn=30),))
    pieces = [plate("key", 50, 20), plate("other", 90, 60, count=6)]
    found = lay(pieces, [in_hand(300, 200)], habits=habits)
    (key,) = [one for one in found.sheets[0].laid if one.locked]
    assert box_of(key)[:2] == pytest.approx((100, 60))
    assert key.turn_deg == 30
    assert len(found.sheets[0].laid) == 7


def test_a_locked_piece_may_lie_in_the_edge():
    habits = CuttingHabits(locked=(locked("key", 0, 0),))
    found = lay([plate("key", 300, 20), plate("other", 90, 60)], [in_hand(300, 200)], habits=habits)
    assert len(found.sheets[0].laid) == 2


def test_the_rests_are_clear_of_every_piece_and_as_large_as_can_be():
    found = lay([plate("corner", 96, 196)], [in_hand(300, 200)])
    (rest,) = found.sheets[0].offcuts
    wide = 300 - 2 - (2 + 96 + 2)
    assert wide - 4 <= rest.width_mm <= wide
    assert 196 - 4 <= rest.height_mm <= 196
    left, _, right, _ = box_of(found.sheets[0].laid[0])
    assert rest.x_mm >= right + 2 or rest.x_mm + rest.width_mm <= left - 2


def test_the_same_seed_gives_the_same_layout():
    pieces = [plate(f"piece {n}", 20 + 7 * n, 60 - 4 * n, count=2) for n in range(9)]
    assert lay(pieces, tries=60) == lay(pieces, tries=60)


def test_nothing_to_lay_is_no_sheet():
    assert lay([]) == SheetLayout(gap_mm=2.0, edge_mm=2.0, sheets=())


def with_first(layout, **changes):
    sheet = layout.sheets[0]
    laid = (replace(sheet.laid[0], **changes), *sheet.laid[1:])
    return replace(layout, sheets=(replace(sheet, laid=laid), *layout.sheets[1:]))


def test_the_proof_sees_every_kind_of_fault():
    pieces = [plate("a", 50, 30, grain="along x"), plate("b", 60, 40)]
    good = lay(pieces)
    first = good.sheets[0].laid[0]
    prove(good, pieces=pieces)
    wrong = {
        "from the edge": with_first(good, x_mm=first.x_mm - 300),
        "share": with_first(
            good, **{k: getattr(good.sheets[0].laid[1], k) for k in ("x_mm", "y_mm")}
        ),
        "across the grain": with_first(good, turn_deg=90.0, x_mm=100.0, y_mm=100.0),
        "2 laid": with_first(good, piece=pieces[1], x_mm=150.0, y_mm=100.0),
        "is cut from": with_first(good, piece=plate("a", 50, 30, thickness_mm=0.5)),
    }
    for words, layout in wrong.items():
        with pytest.raises(LayoutFault, match=words):
            prove(layout, pieces=pieces)


def test_the_proof_sees_a_gap_that_is_a_hundredth_too_small():
    pieces = [plate("a", 50, 30), plate("b", 50, 30)]
    good = lay(pieces)
    one, other = sorted(good.sheets[0].laid, key=lambda laid: laid.order)
    (left, bottom, _, _), there = box_of(one), box_of(other)
    beside = replace(one, x_mm=one.x_mm + there[2] + 1.99 - left, y_mm=one.y_mm + there[1] - bottom)
    near = replace(good, sheets=(replace(good.sheets[0], laid=(beside, other)),))
    with pytest.raises(LayoutFault, match=r"1\.9900 mm apart"):
        prove(near, pieces=pieces)


def test_a_cut_out_past_the_edge_and_one_name_for_two_pieces_break_nothing():
    notched = plate("a", 50, 30, cutouts=[rectangle(20, height_mm=10, x_mm=-30)])
    found = lay([notched, plate("a", 20, 10), plate("b", 40, 40)], [in_hand(100, 60)])
    assert sum(len(sheet.laid) for sheet in found.sheets) == 3


def test_a_piece_that_just_fits_is_laid_though_the_grid_has_no_room_for_it():
    habits = CuttingHabits(edge_mm=2.05)  # 295.9 x 195.9 mm within, in cells of 0.5 mm
    snug = plate("snug", 195.87, 295.88, count=2)
    found = lay([snug, plate("small", 20, 10)], [in_hand(300, 200)], habits=habits)
    assert found.unlaid == ()
    assert [sheet.stock for sheet in found.sheets] == [1, None, None]
