"""Models made by chance, as project texts: every kind of box, panel, strand and head there is."""

import numpy as np

BUILDS = ("flat pieces", "folded", "printed")
FINISHES = ("matt white paint", "bare white styrene", "aluminium foil", "white card")
HEADS = ("flush", "proud", "mushroom", "set back")
LAYERS = (
    "opal film 60",
    "amber gel",
    "{film: green clear paint, coats: 2}",
    "print film",
    "clear decal film",
)
SEAMS = ("butt", "taped", "filled")


def random_model(seed):
    """Write one project.

    Returns
    -------
    str
        Sound as text; findings about its light and cutting do not matter to the order of work.
    """
    chance = np.random.default_rng(seed)
    return "\n".join([*_head(chance), *_subs(chance), ""])


def _some(chance, of):
    return of[int(chance.integers(len(of)))]


def _head(chance):
    yield from ("lamphouse: 1", "name: By chance", "scale: 1:24", "seed: 1")
    yield "room: {size: 400 x 300 x 200 mm, room_light: 50 lx, viewing_distance: 60 cm}"
    yield "supply: {kind: plug-in supply, voltage: 12 V, max_current: 1 A}"
    if chance.random() < 0.5:
        yield "loom: {supply_at: [200 mm, 290 mm]}"


def _subs(chance):
    count = int(chance.integers(1, 5))
    names = [f"part {letter}" for letter in "abcd"[:count]]
    yield "groups:"
    for number, name in enumerate(names):
        kind = _some(chance, ("steady", "random"))
        yield (
            f"  group {number}: {{in: {_some(chance, names)}, source: {{led: green 3 mm, "
            f"current: 5 mA}}, pattern: {{kind: {kind}}}}}"
        )
        del name
    if chance.random() < 0.5:
        inside = f", in: {_some(chance, names)}" if chance.random() < 0.5 else ""
        yield "controllers:"
        yield f'  player: {{type: "8-bit AVR, 28 pins", regulator: yes{inside}}}'
    yield "sub_assemblies:"
    for number, name in enumerate(names):
        yield f"  {name}:"
        yield f"    stands: {{at: [{40 + 60 * number} mm, 60 mm]}}"
        if chance.random() < 0.7:
            yield "    pigtail: {plug: 6-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}"
        if chance.random() < 0.7:
            yield "    board: {kind: perforated, resistors: axial 1/4 W}"
        if chance.random() < 0.2:
            yield "    trim: yes"
        yield "    panels:"
        for panel in range(int(chance.integers(1, 4))):
            yield from _panel(chance, name=f"{name[-1]}{panel}", groups=count)
        if chance.random() < 0.5:
            yield "    lamps:"
            row = "count: 2, step: [9 mm, 0 mm]"
            yield f"      lamp: {{type: white 0603, at: [5 mm, 5 mm], {row}, current: 1 mA}}"


def _panel(chance, *, name, groups):
    yield f"      {name}:"
    curved = chance.random() < 0.25
    if curved:
        layers = ["styrene 0.5 mm"] * int(chance.integers(1, 3))
        former = ", former: foam board 3.0 mm" if chance.random() < 0.5 else ""
        sheets = f"layers: [{', '.join(layers)}]{former}"
        yield f"        curve: {{inner_radius: 140 mm, angle: 60 deg, {sheets}}}"
        yield "        height: 80 mm"
    else:
        yield "        outline: rectangle 140 x 80 mm"
        yield "        sheet: styrene 1.0 mm"
    if chance.random() < 0.8:
        yield "        openings:"
        chosen = [one for one in LAYERS if chance.random() < 0.4]
        yield (
            "          window: {shape: rectangle 30 x 20 mm, at: [30 mm, 40 mm], "
            f"layers: [{', '.join(chosen)}]}}"
        )
        yield "          hole: {shape: round 3 mm, at: [130 mm, 8 mm]}"
    if not curved and chance.random() < 0.7:
        yield "        boxes:"
        for number, x in enumerate((30, 100)[: int(chance.integers(1, 3))]):
            yield from _box(chance, name=f"{name} box {number}", x=x)
    if chance.random() < 0.6:
        yield "        strands:"
        for number in range(int(chance.integers(1, 4))):
            x, y = int(chance.integers(6, 134)), int(chance.integers(6, 74))
            yield (
                f"          {name}s{number}: {{fibre: fibre 0.5 mm, at: [{x} mm, {y} mm], group: "
                f"group {int(chance.integers(groups))}, head: {_some(chance, HEADS)}}}"
            )
    if not curved and chance.random() < 0.3:
        yield "        masks:"
        band = "{paint: blue, from: [0 mm, 10 mm], to: [140 mm, 10 mm], width: 12 mm}"
        yield f"          areas: {{all over: {{paint: cream}}, band: {band}}}"
    if not curved and chance.random() < 0.3:
        shape = "outline: rectangle 60 x 40 mm, at: [100 mm, 40 mm], sheet: styrene 0.5 mm"
        yield f"        overlays: {{bezel: {{{shape}}}}}"


def _box(chance, *, name, x):
    build = _some(chance, BUILDS)
    yield f"          {name}:"
    yield "            inside: rectangle 40 x 40 mm"
    yield f"            at: [{x} mm, 40 mm]"
    yield "            depth: 15 mm"
    yield f"            sheet: {'card 0.3 mm' if build == 'folded' else 'styrene 1.0 mm'}"
    yield f"            finish: {_some(chance, FINISHES)}"
    yield f"            build: {build}"
    if chance.random() < 0.6:
        yield "            coats: [{coat: black paint, count: 2}]"
    if chance.random() < 0.7:
        yield f"            seams: {_some(chance, SEAMS)}"
    if chance.random() < 0.3:
        yield "            inner_diffuser: {film: opal film 60, height: 8 mm}"
    if build == "flat pieces" and chance.random() < 0.3:
        yield "            fixing: {screw: M2, count: 2}"
    yield "            leds:"
    seat = "seat: wall, height: 6 mm, " if chance.random() < 0.2 else ""
    left = x - 20 if seat else x - 8
    row = "" if seat else "count: 2, step: [16 mm, 0 mm], "
    led = f"type: white 0603, at: [{left} mm, 40 mm], {seat}{row}current: 1 mA"
    yield f"              {name[0]}{name[1]}{name[-1]}L: {{{led}}}"
