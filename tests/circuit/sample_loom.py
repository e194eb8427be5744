"""Models with many sub-assemblies on a floor, as members of a loom."""

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.loom_runs import Member
from lamphouse.circuit.plug_pins import uses_of
from lamphouse.design.loom import LoomWishes
from lamphouse.design.place import Room, Stand
from lamphouse.design.supply import Pigtail
from lamphouse.findings import Where

SHELF = built_in()
ROOM = Room(
    width_mm=400.0, depth_mm=300.0, height_mm=200.0, room_light_lx=50.0, viewing_distance_mm=600.0
)


def wishes(**given):
    return LoomWishes(
        **{"where": Where(item="loom"), "trunk": SHELF.wires["24 AWG insulated"], **given}
    )


def member(
    name,
    x_mm=100.0,
    y_mm=100.0,
    *,
    means=("common", "return"),
    plug=None,
    wire="30 AWG insulated",
    length_mm=160.0,
    wanted_A=0.01,
    up_mm=0.0,
):
    return Member(
        name=name,
        where=Where(item=name),
        stand=None if x_mm is None else Stand(x_mm=x_mm, y_mm=y_mm, up_mm=up_mm),
        pigtail=Pigtail(
            where=Where(item=f"{name} / pigtail"),
            plug=SHELF.plugs[plug or f"{max(len(means), 2)}-pin 1.25 mm"],
            wire=SHELF.wires[wire],
            length_mm=length_mm,
        ),
        pins=uses_of(means, common_positive=True),
        wanted_A=wanted_A,
    )
