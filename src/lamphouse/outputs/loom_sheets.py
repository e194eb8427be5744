"""The sheet of the loom as data for the typesetter: feeds, runs, and what each plug carries."""

from typing import Any

from lamphouse import units
from lamphouse.circuit.branch import Band
from lamphouse.circuit.loom_runs import LaidFeed, Loom, Run, RunLoad, Socket, SocketLoad, SocketPin
from lamphouse.circuit.wire_colours import WORDS
from lamphouse.outputs.front_sheets import counted, milliamps
from lamphouse.plan.result import Plan
from lamphouse.units import Quantity

HOW = (
    "Every wire has its number on a flag at both ends: trust the number, colours fade. Runs lie "
    "straight under the floor, round what stands there; their lengths hold slack, both ends, and "
    "what is drawn up through the hole when a sub-assembly is lifted out with its plug still in. "
    "Currents are those with everything lit."
)


def loom(plan: Plan) -> dict[str, Any] | None:
    """List the loom; None where none is laid."""
    laid, load = plan.loom, plan.loom_load
    if laid is None or load is None:
        return None
    metres = sum(run.length_mm for run in laid.runs) / 1000.0
    return {
        "words": f"{counted(len(laid.runs), 'run')}, {metres:.3g} m of wire, "
        f"{counted(len(laid.feeds), 'feed')}, {counted(len(laid.sockets), 'socket')}.",
        "how": HOW,
        "room": _room(laid),
        "feeds": [_feed(feed, total) for feed, total in zip(laid.feeds, load.feeds_A, strict=True)],
        "plugs": [
            _plug(socket, carried)
            for socket, carried in zip(laid.sockets, load.sockets, strict=True)
        ],
        "runs": [_run(run, carried) for run, carried in zip(laid.runs, load.runs, strict=True)],
    }


def _room(laid: Loom) -> str:
    """Say what room there is under the floor, and what is needed."""
    needed = units.show(laid.needed_depth_mm, Quantity.LENGTH)
    if laid.depth_mm is None:
        return f"It needs {needed} of clear height below the floor."
    given = units.show(laid.depth_mm, Quantity.LENGTH)
    return f"It needs {needed} of clear height below the floor; there is {given}."


def _fuse(feed: LaidFeed) -> str:
    if feed.fuse_type:
        return feed.fuse_type.name
    return units.show(feed.fuse_A, Quantity.CURRENT) if feed.fuse_A else "the supply's"


def _feed(feed: LaidFeed, total: Band) -> tuple[str, ...]:
    nominal, band = milliamps(total)
    return (
        feed.name,
        _fuse(feed),
        "own switch" if feed.switched else "",
        feed.wire.name,
        f"{feed.splitter.x_mm:g}, {feed.splitter.y_mm:g}",
        nominal,
        band,
        ", ".join(feed.sub_assemblies),
    )


def _plug(socket: Socket, carried: SocketLoad) -> dict[str, Any]:
    lost = units.show(carried.drop_V, Quantity.VOLTAGE, digits=2)
    spare = socket.plug.pins - len(socket.pins)
    return {
        "name": socket.sub_assembly,
        "words": f"{socket.plug.name}, hole {socket.hole} at {socket.x_mm:g}, {socket.y_mm:g} mm; "
        f"up to {lost} lost from the supply to the board and back"
        + (f"; {counted(spare, 'pin')} free" if spare > 0 else ""),
        "pins": [
            (str(pin.pin), str(pin.run), _colour(pin.colour), _means(pin), *milliamps(band))
            for pin, band in zip(socket.pins, carried.pins_A, strict=True)
        ],
    }


def _run(run: Run, carried: RunLoad) -> tuple[str, ...]:
    most_mA, drop_mV = carried.current_A.high * 1e3, carried.drop_V * 1e3
    return (
        str(run.number),
        run.start,
        run.end,
        run.sign,
        _colour(run.colour),
        run.wire.name,
        f"{run.length_mm:g}",
        f"{most_mA:.3g}",
        f"{drop_mV:.2g}",
    )


def _colour(letters: str) -> str:
    return f"{letters} {WORDS[letters]}"


def _means(pin: SocketPin) -> str:
    """Say what a pin is."""
    pole = "plus" if pin.positive else "minus"
    said = {"common": f"{pole}, common to all", "return": f"{pole} of what burns steadily"}
    return said.get(pin.means, f"{pole} of group '{pin.means}'")
