"""The proof refuses every spoilt board, and only those: judged beside a painted raster."""

import networkx
import numpy as np
import pytest

from board.brute_force import is_sound
from board.corruptions import EVERY
from board.samples import WHERE, board, demand, part, wall
from lamphouse.board.demand import demand_of
from lamphouse.board.holes import Hole
from lamphouse.board.lay_board import lay_board
from lamphouse.board.legs import Posture
from lamphouse.board.proof import faults_of
from lamphouse.board.soldered import BareRun, Face, LeadTail, SolderBridge, WireLink
from lamphouse.circuit.wired import Net, Pin, WiredKind
from lamphouse.design.supply import BoardKind
from lamphouse.record import replace

KINDS = (BoardKind.PERFORATED, BoardKind.STRIPBOARD)
ROUNDS = 25
"""Boards spoilt in each way, of each kind and size."""


def laid(wired, **rest):
    layout = lay_board(demand(wired, **rest), seed=1, test_points=wired.test_points)
    assert layout is not None
    return layout


@pytest.fixture(scope="module", params=KINDS, ids=str)
def kind(request):
    return request.param


@pytest.mark.parametrize("strings", [1, 2, 3, 5])
def test_a_laid_board_is_sound_to_both(kind, strings):
    wired = wall(strings)
    layout = laid(wired, kind=kind)
    assert faults_of(layout, wired=wired) == ()
    assert is_sound(layout, wired)


@pytest.mark.parametrize(
    ("strings", "rest"),
    [
        (1, {}),
        (3, {}),
        (4, {}),
        (3, {"space": (12.9, 10.2)}),  # so tight that its resistors stand
        (3, {"package": "0805"}),
    ],
)
def test_every_corruption_is_refused_unless_it_changes_nothing(kind, strings, rest):
    wired = wall(strings)
    layout = laid(wired, kind=kind, **rest)
    assert is_sound(layout, wired)
    assert ("space" in rest) == (layout.parts[0].posture is Posture.STANDING)
    chance = np.random.default_rng(strings)
    refused, same, wrong = 0, 0, []
    for spoil in EVERY:
        for _ in range(ROUNDS):
            spoilt = replace(spoil(layout, chance), probes=())
            found = faults_of(spoilt, wired=wired)
            if bool(found) == is_sound(spoilt, wired):
                wrong.append((spoil.__name__, found, spoilt))
            refused, same = refused + bool(found), same + (not found)
    assert wrong == []
    assert refused > 150
    assert same > 5, "some corruptions must change nothing, or the witness proves little"


@pytest.fixture(scope="module")
def three():
    wired = wall(3)
    return wired, laid(wired)


def words_of(layout, wired, **rest):
    return " | ".join(faults_of(layout, wired=wired, **rest))


def test_faults_name_holes(three):
    wired, layout = three
    first, second = layout.wires[0], layout.wires[1]
    swapped = (replace(first, hole=second.hole), replace(second, hole=first.hole))
    words = words_of(replace(layout, wires=(*swapped, *layout.wires[2:])), wired)
    assert first.hole.name in words
    assert second.hole.name in words


def test_a_board_larger_than_its_space_is_refused_either_way_up(three):
    wired, layout = three
    wide, high = layout.size_mm
    assert faults_of(layout, wired=wired, space_mm=(high, wide)) == ()
    assert "larger" in words_of(layout, wired, space_mm=(wide - 0.1, high))


def test_a_part_of_another_value_is_refused(three):
    wired, layout = three
    parts = (replace(layout.parts[0], value="4k7"), *layout.parts[1:])
    assert "should be" in words_of(replace(layout, parts=parts), wired)


def test_a_test_point_in_the_wrong_net_is_refused(three):
    wired, layout = three
    probes = (replace(layout.probes[0], hole=layout.probes[1].hole), *layout.probes[1:])
    assert "TP1" in words_of(replace(layout, probes=probes), wired)


def free_board(columns, rows):
    """A sound board with a lot of empty pads around it."""
    wired = wall(1)
    layout = laid(wired)
    return wired, replace(layout, columns=columns, rows=rows, size_mm=(columns * 2.54, rows * 2.54))


def two_nets(end, *, beside):
    """A bare wire from F6 to ``end``, and another net whose pad lies ``beside``."""
    wired = wall(0)
    lone = {
        (1, "J1"): Hole(row=5, column=5),
        (1, "L1"): end,
        (2, "J1"): beside,
        (2, "L1"): replace(beside, column=beside.column + 1),
    }
    parts = (*wired.parts, part("L1", WiredKind.LED))
    nets = tuple(
        Net(name=str(pin), pins=(Pin(part="J1", pin=pin), Pin(part="L1", pin=pin)))
        for pin in (1, 2)
    )
    _, layout = free_board(12, 12)
    wires = tuple(
        replace(layout.wires[0], number=n, pin=Pin(part=name, pin=pin), hole=hole)
        for n, ((pin, name), hole) in enumerate(lone.items(), start=1)
    )
    run = BareRun(start=lone[1, "J1"], end=end)
    joint = SolderBridge(first=lone[2, "J1"], second=lone[2, "L1"])
    bare = replace(
        layout, parts=(), wires=wires, probes=(), tails=(), bridges=(joint,), bare_runs=(run,)
    )
    return faults_of(bare, wired=replace(wired, parts=parts, nets=nets))


@pytest.mark.parametrize(
    ("down", "right", "beside", "word"),
    [
        # A pad that is 1 away across the step (a, b) lies 2.54 / hypot(a, b) mm off the wire, the
        # next twice as far; pad and wire together reach 1.3 mm, and 0.3 mm are kept clear.
        (1, 1, (0, 1), None),  # 1.796 mm: clear by 0.496 mm
        (1, 2, (0, 1), "touch"),  # 1.136 mm
        (1, 3, (0, 1), "touch"),  # 0.803 mm
        (1, 3, (0, 2), None),  # 1.606 mm: clear by 0.306 mm
        (2, 3, (0, 1), "comes within 0.3 mm"),  # 1.409 mm: 0.109 mm
    ],
)
def test_a_slanting_wire_touches_what_its_distance_says(down, right, beside, word):
    end = Hole(row=5 + down, column=5 + right)
    found = two_nets(end, beside=Hole(row=5 + beside[0], column=5 + beside[1]))
    assert (found == ()) if word is None else any(word in fault for fault in found)


def spoilt_by(layout, **more):
    return replace(layout, **{key: (*getattr(layout, key), *added) for key, added in more.items()})


def test_solder_bridges_neighbours_only():
    wired, layout = free_board(12, 8)
    far = SolderBridge(first=Hole(row=5, column=5), second=Hole(row=5, column=7))
    assert "cannot bridge" in words_of(spoilt_by(layout, bridges=[far]), wired)


def test_a_tail_is_no_longer_than_its_lead():
    wired, layout = free_board(14, 8)
    start = layout.parts[0].holes[1]
    long = LeadTail(part="R1", pin=2, start=start, end=replace(start, column=11))
    assert "does not reach" not in words_of(spoilt_by(layout, tails=[long]), wired)
    wired, layout = free_board(14, 8)
    longer = replace(long, end=replace(start, column=12))
    assert "does not reach" in words_of(spoilt_by(layout, tails=[longer]), wired)


def test_a_bare_link_joins_what_it_lies_on_and_an_insulated_one_does_not():
    wired, layout = free_board(12, 8)
    held = layout.wires[0].hole
    start, end = Hole(row=held.row, column=8), Hole(row=held.row + 3, column=8)
    bare = WireLink(start=start, end=end, face=Face.PARTS, insulated=False)
    assert faults_of(spoilt_by(layout, links=[bare]), wired=wired) == ()
    wires = (replace(layout.wires[0], hole=Hole(row=held.row + 2, column=8)), *layout.wires[1:])
    lying = replace(layout, wires=wires, links=(bare,))
    assert "parted" in words_of(lying, wired)
    insulated = replace(lying, links=(replace(bare, insulated=True),))
    assert "parted" in words_of(insulated, wired)


def test_a_link_through_a_body_is_refused():
    wired, layout = free_board(12, 8)
    (part,) = layout.parts
    column = part.holes[0].column + 2
    link = WireLink(
        start=Hole(row=part.holes[0].row, column=column),
        end=Hole(row=6, column=column),
        face=Face.PARTS,
        insulated=True,
    )
    assert "meets the body of R1" in words_of(spoilt_by(layout, links=[link]), wired)
    below = replace(link, face=Face.SOLDER)
    assert "meets" not in words_of(spoilt_by(layout, links=[below]), wired)


def test_a_trim_knob_cannot_be_mirrored():
    wired = wall(2, extras=[WiredKind.TRIM])
    layout = lay_board(demand_of(wired, board=board()), seed=1)
    assert faults_of(layout, wired=wired) == ()
    number = next(n for n, part in enumerate(layout.parts) if part.kind is WiredKind.TRIM)
    trim = layout.parts[number]
    mirrored = replace(trim, holes=trim.holes[::-1])
    parts = (*layout.parts[:number], mirrored, *layout.parts[number + 1 :])
    assert "do not go into" in words_of(replace(layout, parts=parts), wired)


def test_nets_agree_with_a_graph_library(kind):
    """Pads and their joints as a graph: its components are the nets."""
    wired = wall(4)
    layout = laid(wired, kind=kind)
    graph = networkx.Graph()
    cuts = {cut.hole for cut in layout.cuts}
    if kind is BoardKind.STRIPBOARD:
        for row in range(layout.rows):
            for column in range(layout.columns - 1):
                pair = (Hole(row=row, column=column), Hole(row=row, column=column + 1))
                if not cuts.intersection(pair):
                    graph.add_edge(*pair)
    graph.add_edges_from((b.first, b.second) for b in layout.bridges)
    for run in (*layout.tails, *layout.bare_runs):
        low, high = sorted((run.start, run.end))
        way = [
            Hole(row=row, column=column)
            for row in range(low.row, high.row + 1)
            for column in range(low.column, high.column + 1)
        ]
        networkx.add_path(graph, way)
    spots = {(w.pin.part, w.pin.pin): w.hole for w in layout.wires}
    spots |= {(p.name, n): h for p in layout.parts for n, h in enumerate(p.holes, start=1)}
    graph.add_nodes_from(spots.values())
    held = {"J1", *(p.name for p in layout.parts)}
    nets = [
        {spots[pin.part, pin.pin] for pin in net.pins}
        for net in wired.nets
        if any(pin.part in held for pin in net.pins)
    ]
    of_graph = [
        found
        for island in networkx.connected_components(graph)
        if (found := island & set(spots.values()))
    ]
    assert sorted(map(sorted, of_graph)) == sorted(map(sorted, nets))


def test_the_place_of_a_finding_is_kept(three):
    assert three[1].where == WHERE
