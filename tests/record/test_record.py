"""A record against the standard library's frozen dataclass of the same fields."""

import copy
import dataclasses
import pickle

import numpy as np
import pytest

from lamphouse.record import Record, field, replace


class Hole(Record, order=True):
    x_mm: float
    drills: tuple[str, ...] = ()
    y_mm: float


class Slot(Hole):
    notes: dict[str, str] = field(default_factory=dict)
    long_mm: float


class Alone(Record, eq=False):
    x_mm: float


@dataclasses.dataclass(frozen=True, kw_only=True, order=True)
class Witness:
    x_mm: float
    drills: tuple[str, ...] = ()
    y_mm: float


FIELDS = [
    {"x_mm": x, "y_mm": y, **more}
    for x in (0.0, -0.0, 1.5)
    for y in (1.5, 2)
    for more in ({}, {"drills": ("0.5",)})
]


def test_records_are_equal_hashed_and_sorted_as_dataclasses_are():
    pairs = [(a, b) for a in FIELDS for b in FIELDS]
    for a, b in pairs:
        hole, other, seen, beside = Hole(**a), Hole(**b), Witness(**a), Witness(**b)
        assert (hole == other) is (seen == beside)
        assert (hole < other) is (seen < beside)
        assert hash(hole) == hash(other) or hole != other
    assert repr(Hole(**a)).replace("Hole", "") == repr(Witness(**a)).replace("Witness", "")


@pytest.mark.parametrize("made", [Hole(x_mm=1.0, y_mm=2.0), Slot(x_mm=1.0, y_mm=2.0, long_mm=9.0)])
def test_a_record_cannot_be_changed(made):
    with pytest.raises(AttributeError):
        made.x_mm = 3.0
    with pytest.raises(AttributeError):
        del made.x_mm
    with pytest.raises(AttributeError):
        made.z_mm = 3.0
    assert made.x_mm == 1.0


@pytest.mark.parametrize(
    ("kind", "values", "named"),
    [
        (Hole, (1.0, (), 2.0), {}),
        (Hole, (), {"x_mm": 1.0}),
        (Hole, (), {"x_mm": 1.0, "y_mm": 2.0, "z_mm": 3.0}),
        (Slot, (9.0,), {"x_mm": 1.0, "y_mm": 2.0}),
    ],
)
def test_a_record_is_made_by_keyword_with_every_field(kind, values, named):
    with pytest.raises(TypeError):
        kind(*values, **named)


def test_a_copy_changes_what_is_named_alone():
    slot = Slot(x_mm=1.0, y_mm=2.0, long_mm=9.0, notes={"a": "b"})
    moved = replace(slot, x_mm=3.0)
    assert moved == Slot(x_mm=3.0, y_mm=2.0, long_mm=9.0, notes={"a": "b"})
    assert slot.x_mm == 1.0
    assert moved.notes is slot.notes
    with pytest.raises(TypeError):
        replace(slot, z_mm=3.0)


def test_a_record_of_identity_is_equal_to_itself_alone():
    one, other = Alone(x_mm=1.0), Alone(x_mm=1.0)
    assert one == one
    assert one != other
    assert len({one, other, one}) == 2


def test_each_record_has_its_own_default():
    one, other = (Slot(x_mm=1.0, y_mm=2.0, long_mm=9.0) for _ in range(2))
    assert one.notes == {}
    assert one.notes is not other.notes


@pytest.mark.parametrize(
    "again", [lambda one: pickle.loads(pickle.dumps(one)), copy.copy, copy.deepcopy]
)
def test_a_record_goes_to_another_process_and_back(again):
    slot = Slot(x_mm=1.0, y_mm=2.0, long_mm=9.0, notes={"a": "b"})
    back = again(slot)
    assert back == slot
    assert type(back) is Slot


def test_a_record_of_arrays_is_equal_to_one_of_the_same_arrays():
    # The tuple of a dataclass takes what is identical as equal before it compares.
    corners = np.zeros((4, 2))
    assert Alone(x_mm=corners) != Alone(x_mm=corners)
    assert Hole(x_mm=corners, y_mm=0.0) == Hole(x_mm=corners, y_mm=0.0)
    assert Witness(x_mm=corners, y_mm=0.0) == Witness(x_mm=corners, y_mm=0.0)


def test_a_record_is_matched_by_its_class_and_fields():
    match Slot(x_mm=1.0, y_mm=2.0, long_mm=9.0):
        case Hole(x_mm=1.0, y_mm=y):
            assert y == 2.0
        case _:
            pytest.fail("the pattern was passed over")
