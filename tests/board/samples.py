"""Small circuits for boards, made from the records alone."""

from lamphouse.board.demand import demand_of
from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.netlist import Netlist
from lamphouse.circuit.wired import (
    Net,
    Pin,
    PlugPin,
    TestPoint,
    WiredKind,
    WiredPart,
    WiredSubAssembly,
)
from lamphouse.design.supply import Board, BoardKind
from lamphouse.findings import Where

WHERE = Where(item="wall / board")
PACKAGES = built_in().resistor_packages
NOTHING = Netlist(resistances=(), junctions=(), sources=())


def part(name, kind, *, pins=2, on_board=False):
    return WiredPart(
        name=name, kind=kind, value=f"value of {name}", pins=pins, on_board=on_board, where=WHERE
    )


def wall(strings, *, groups=0, extras=()):
    """Strings of one LED behind one resistor; the first ``groups`` return on pins of their own.

    ``extras`` are kinds of parts put one after another between the plug's pin 1 and the plus rail.
    """
    resistors = [part(f"R{n}", WiredKind.RESISTOR, on_board=True) for n in range(1, strings + 1)]
    leds = [part(f"L{n}", WiredKind.LED) for n in range(1, strings + 1)]
    before = [
        part(f"X{n}", kind, pins=3 if kind is WiredKind.TRIM else 2, on_board=True)
        for n, kind in enumerate(extras, start=1)
    ]
    plug = part("J1", WiredKind.PLUG, pins=2 + groups)
    nets, feed = [], [Pin(part="J1", pin=1)]
    for one in before:
        nets.append(Net(name=f"to {one.name}", pins=(*feed, Pin(part=one.name, pin=1))))
        feed = [Pin(part=one.name, pin=2)]
        if one.kind is WiredKind.TRIM:
            feed.append(Pin(part=one.name, pin=3))
    nets.append(Net(name="plus", pins=(*feed, *(Pin(part=r.name, pin=1) for r in resistors))))
    back = [Pin(part=led.name, pin=2) for led in leds]
    steady = back[groups:]
    if steady:
        nets.append(Net(name="minus", pins=(Pin(part="J1", pin=2), *steady)))
    nets += [
        Net(name=f"minus / {n}", pins=(Pin(part="J1", pin=3 + n), back[n])) for n in range(groups)
    ]
    nets += [
        Net(name=f"{r.name}.2", pins=(Pin(part=r.name, pin=2), Pin(part=led.name, pin=1)))
        for r, led in zip(resistors, leds, strict=True)
    ]
    carried = [PlugPin(pin=1, node="J1.1", means="common", positive=True)]
    if steady:
        carried.append(PlugPin(pin=2, node="J1.2", means="return", positive=False))
    carried += [
        PlugPin(pin=3 + n, node=f"J1.{3 + n}", means=f"group {n}", positive=False)
        for n in range(groups)
    ]
    points = [
        TestPoint(name=f"TP{n}", node=f"{r.name}.2", words=f"behind {r.name}", on_board=True)
        for n, r in enumerate(resistors, start=1)
    ]
    return WiredSubAssembly(
        sub_assembly="wall",
        where=WHERE,
        netlist=NOTHING,
        parts=(*before, *resistors, *leds, plug),
        nets=tuple(nets),
        test_points=tuple(points),
        plug_pins=tuple(carried),
        common_positive=True,
    )


def board(kind=BoardKind.PERFORATED, *, space=None, package="axial 1/4 W"):
    return Board(where=WHERE, kind=kind, space_mm=space, resistor_package=PACKAGES[package])


def demand(wired, **rest):
    return demand_of(wired, board=board(**rest))


def mesh(chance):
    """Resistors at random between a few nets, each of them with a pin of the plug."""
    many, nets = int(chance.integers(2, 6)), int(chance.integers(2, 5))
    pins = [[Pin(part="J1", pin=number + 1)] for number in range(nets)]
    parts = [part(f"R{n}", WiredKind.RESISTOR, on_board=True) for n in range(1, many + 1)]
    for one in parts:
        first, second = chance.choice(nets, size=2, replace=False)
        pins[first].append(Pin(part=one.name, pin=1))
        pins[second].append(Pin(part=one.name, pin=2))
    return WiredSubAssembly(
        sub_assembly="mesh",
        where=WHERE,
        netlist=NOTHING,
        parts=(*parts, part("J1", WiredKind.PLUG, pins=nets)),
        nets=tuple(Net(name=f"net {n}", pins=tuple(own)) for n, own in enumerate(pins)),
        test_points=(),
        plug_pins=(),
        common_positive=True,
    )
