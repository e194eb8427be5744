"""Sound boards spoilt in one way each, as a tired maker or a faulty program would."""

from lamphouse.board.holes import Hole
from lamphouse.board.soldered import BareRun, SolderBridge, TrackCut
from lamphouse.record import replace


def hole(layout, chance):
    return Hole(row=int(chance.integers(layout.rows)), column=int(chance.integers(layout.columns)))


def one_of(things, chance):
    return int(chance.integers(len(things)))


def changed(things, number, new):
    return (*things[:number], *([new] if new is not None else []), *things[number + 1 :])


def move_a_leg(layout, chance):
    n = one_of(layout.parts, chance)
    part = layout.parts[n]
    pin = int(chance.integers(len(part.holes)))
    holes = changed(part.holes, pin, hole(layout, chance))
    return replace(layout, parts=changed(layout.parts, n, replace(part, holes=holes)))


def shift_a_part(layout, chance):
    n = one_of(layout.parts, chance)
    part = layout.parts[n]
    right, down = ((1, 0), (-1, 0), (0, 1), (0, -1))[int(chance.integers(4))]
    holes = tuple(Hole(row=h.row + down, column=h.column + right) for h in part.holes)
    return replace(layout, parts=changed(layout.parts, n, replace(part, holes=holes)))


def turn_a_part_round(layout, chance):
    n = one_of(layout.parts, chance)
    part = layout.parts[n]
    return replace(layout, parts=changed(layout.parts, n, replace(part, holes=part.holes[::-1])))


def swap_two_parts(layout, chance):
    if len(layout.parts) < 2:
        return layout
    a, b = chance.choice(len(layout.parts), size=2, replace=False)
    one, other = layout.parts[a], layout.parts[b]
    parts = changed(layout.parts, a, replace(one, holes=other.holes))
    return replace(layout, parts=changed(parts, b, replace(other, holes=one.holes)))


def move_a_wire(layout, chance):
    n = one_of(layout.wires, chance)
    wire = replace(layout.wires[n], hole=hole(layout, chance))
    return replace(layout, wires=changed(layout.wires, n, wire))


def swap_two_wires(layout, chance):
    a, b = chance.choice(len(layout.wires), size=2, replace=False)
    one, other = layout.wires[a], layout.wires[b]
    wires = changed(layout.wires, a, replace(one, hole=other.hole))
    return replace(layout, wires=changed(wires, b, replace(other, hole=one.hole)))


def drop_a_wire(layout, chance):
    return replace(layout, wires=changed(layout.wires, one_of(layout.wires, chance), None))


def drop_a_joint(layout, chance):
    kinds = [k for k in ("bridges", "tails", "bare_runs", "cuts", "links") if getattr(layout, k)]
    if not kinds:
        return layout
    kind = kinds[one_of(kinds, chance)]
    things = getattr(layout, kind)
    return replace(layout, **{kind: changed(things, one_of(things, chance), None)})


def add_a_bridge(layout, chance):
    start = hole(layout, chance)
    right, down = ((1, 0), (0, 1))[int(chance.integers(2))]
    end = Hole(row=start.row + down, column=start.column + right)
    return replace(layout, bridges=(*layout.bridges, SolderBridge(first=start, second=end)))


def add_a_bare_wire(layout, chance):
    start = hole(layout, chance)
    end = replace(start, **{("row", "column")[int(chance.integers(2))]: int(chance.integers(4))})
    return replace(layout, bare_runs=(*layout.bare_runs, BareRun(start=start, end=end)))


def stretch_a_run(layout, chance):
    kinds = [k for k in ("tails", "bare_runs") if getattr(layout, k)]
    if not kinds:
        return layout
    kind = kinds[one_of(kinds, chance)]
    things = getattr(layout, kind)
    n = one_of(things, chance)
    end = things[n].end
    along = "row" if things[n].start.column == end.column else "column"
    moved = replace(end, **{along: getattr(end, along) + int(chance.choice((-1, 1)))})
    return replace(layout, **{kind: changed(things, n, replace(things[n], end=moved))})


def add_a_cut(layout, chance):
    return replace(layout, cuts=(*layout.cuts, TrackCut(hole=hole(layout, chance))))


def move_a_cut(layout, chance):
    if not layout.cuts:
        return layout
    n = one_of(layout.cuts, chance)
    old = layout.cuts[n].hole
    new = TrackCut(hole=replace(old, column=old.column + int(chance.choice((-1, 1)))))
    return replace(layout, cuts=changed(layout.cuts, n, new))


def mirror_the_copper(layout, chance):
    def over(one):
        return replace(one, column=layout.columns - 1 - one.column)

    return replace(
        layout,
        bridges=tuple(
            replace(b, first=over(b.first), second=over(b.second)) for b in layout.bridges
        ),
        tails=tuple(replace(t, start=over(t.start), end=over(t.end)) for t in layout.tails),
        bare_runs=tuple(replace(r, start=over(r.start), end=over(r.end)) for r in layout.bare_runs),
        cuts=tuple(replace(c, hole=over(c.hole)) for c in layout.cuts),
    )


def mirror_the_wires(layout, chance):
    wires = tuple(
        replace(w, hole=replace(w.hole, column=layout.columns - 1 - w.hole.column))
        for w in layout.wires
    )
    return replace(layout, wires=wires)


EVERY = (
    move_a_leg, shift_a_part, turn_a_part_round, swap_two_parts, move_a_wire, swap_two_wires,
    drop_a_wire, drop_a_joint, add_a_bridge, add_a_bare_wire, stretch_a_run, add_a_cut, move_a_cut,
    mirror_the_copper, mirror_the_wires,
)  # fmt: skip
