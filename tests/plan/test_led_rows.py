import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.shelf import built_in
from lamphouse.design.lightbox import Led, Seat
from lamphouse.findings import Where
from lamphouse.plan.led_rows import rows_of
from lamphouse.record import replace
from tolerances import EXACT

KIND = built_in().led_types["white 0603"]


def led(x, y, current=1e-3):
    return Led(name="?", where=Where(item="?"), led_type=KIND, x_mm=x, y_mm=y, current_A=current)


def written(places, **options):
    rows = rows_of(
        [led(*place) for place in places], stem="W", taken=options.get("taken", frozenset())
    )
    return [(row.key, row.count, row.step_mm) for row in rows]


@pytest.mark.parametrize(
    ("places", "rows"),
    [
        ([(5, 5)], [("W", 1, (0.0, 0.0))]),
        ([(9, 5), (5, 5), (13, 5)], [("W", 3, (4.0, 0.0))]),
        ([(5, 9), (5, 5)], [("W", 2, (0.0, 4.0))]),
        (
            [(5, 5), (9, 5), (5, 11), (9, 11)],
            [("Wa", 2, (4.0, 0.0)), ("Wb", 2, (4.0, 0.0))],
        ),
        ([(5, 5), (9, 5), (7, 11)], [("Wa", 2, (4.0, 0.0)), ("Wb", 1, (0.0, 0.0))]),
        (
            [(5, 5), (9, 5.5), (7, 11)],
            [("W1", 1, (0.0, 0.0)), ("W2", 1, (0.0, 0.0)), ("W3", 1, (0.0, 0.0))],
        ),
        (
            [(5, 5, 1e-3), (9, 5, 2e-3), (13, 5, 1e-3)],
            [("W1", 1, (0.0, 0.0)), ("W2", 1, (0.0, 0.0)), ("W3", 1, (0.0, 0.0))],
        ),
    ],
)
def test_leds_are_written_in_few_rows(places, rows):
    assert written(places) == rows


@pytest.mark.parametrize(
    "change",
    [
        {"tilt_deg": 30.0, "towards_deg": 90.0},
        {"seat": Seat.WALL, "height_mm": 4.0},
        {"turn_deg": 90.0},
    ],
)
def test_leds_that_sit_otherwise_are_rows_of_their_own(change):
    leds = [led(5, 5), led(9, 5), replace(led(13, 5), **change)]
    written = [one for row in rows_of(leds, stem="W", taken=frozenset()) for one in row.leds()]
    assert [replace(one, name="?") for one in written] == leds


def test_names_that_others_have_are_left_to_them():
    assert written([(5, 5), (9, 5)], taken=frozenset({"W2"})) == [("Wx", 2, (4.0, 0.0))]


@given(
    st.lists(
        st.tuples(st.integers(0, 30), st.integers(0, 6), st.sampled_from((1e-3, 2e-3))),
        min_size=1,
        max_size=40,
        unique_by=lambda place: place[:2],
    )
)
def test_rows_hold_every_led_once_under_names_of_its_own(places):
    given_leds = [led(x * 0.5, y * 2.5, current) for x, y, current in places]
    written_leds = [
        one for row in rows_of(given_leds, stem="W", taken=frozenset()) for one in row.leds()
    ]
    assert len({one.name for one in written_leds}) == len(given_leds)

    def spots(leds):
        return sorted((one.x_mm, one.y_mm, one.current_A) for one in leds)

    for a, b in zip(spots(given_leds), spots(written_leds), strict=True):
        assert a == pytest.approx(b, abs=EXACT)
