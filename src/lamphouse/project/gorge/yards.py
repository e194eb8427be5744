"""The modules with fires, masts and windows: boiler house, switchyard, offices."""

from lamphouse.project.gorge.module_text import BY_DAY, BY_NIGHT, ModuleText, Place

_FURNACE = """\
          furnace box $n: {inside: rectangle 34 x 26 mm, at: [$x mm, 40 mm], depth: 18 mm, $box,
            leds: {F$n: {type: warm white 0603, at: [$left mm, 40 mm], count: 3, step: [9 mm, 0 mm], current: 1 mA, group: $m fire $letter}}}
"""  # noqa: E501 - one line is one line of a project file
_WATER_GAUGE = """\
          water gauge box $n: {inside: rectangle 34 x 24 mm, at: [$x mm, 92 mm], depth: 16 mm, $box,
            leds: {W$n: {type: warm white 0603, at: [$left mm, 92 mm], count: 2, step: [14 mm, 0 mm], current: 0.8 mA}}}
"""  # noqa: E501 - one line is one line of a project file

_BOILER_HOUSE = """\
  $m boiler front:                  # four furnace doors under four water gauges
    stands: {at: [$x10 mm, 860 mm], turn: 0 deg, up: 10 mm}
    pigtail: {plug: 5-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
      front:
        outline: rectangle 380 x 150 mm
        sheet: styrene 1.0 mm
        openings:
          furnace door: {shape: rectangle 24 x 16 mm, at: [58 mm, 40 mm], count: 4, step: [88 mm, 0 mm], layers: [opal film 60, orange gel], look: furnace}
          water gauge: {shape: rectangle 24 x 14 mm, at: [58 mm, 92 mm], count: 4, step: [88 mm, 0 mm], layers: [opal film 60], look: gauge}
        boxes:
$boxes
        strands:
          ${m}P: {fibre: fibre 0.5 mm, at: [19 mm, 120 mm], count: 20, step: [18 mm, 0 mm], group: $m pressure}
          ${m}W: {fibre: fibre 0.5 mm, at: [22 mm, 130 mm], count: 25, step: [14 mm, 0 mm], group: $m feed water}
          ${m}D: {fibre: fibre 0.5 mm, at: [22 mm, 140 mm], count: 25, step: [14 mm, 0 mm], group: $m draught}

  $m boiler hall:
    stands: {at: [$x10 mm, 450 mm], turn: 0 deg, up: 200 mm, lies: flat}
    pigtail: {plug: 4-pin 2.0 mm, wire: 26 AWG insulated, length: 300 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      roof:
        outline: rectangle 380 x 320 mm
        sheet: styrene 1.0 mm
        openings:
          lamp hole: {shape: round 1.8 mm, at: [30 mm, 60 mm], count: 12, step: [29 mm, 0 mm], rows: 6, row_step: [0 mm, 46 mm]}
          lantern hole: {shape: round 1.8 mm, at: [50 mm, 20 mm], count: 8, step: [40 mm, 0 mm]}
          welding hole: {shape: round 1.8 mm, at: [350 mm, 30 mm]}
    lamps:
      roof lamp: {type: white 0603, at: [30 mm, 60 mm], count: 12, step: [29 mm, 0 mm], rows: 6, row_step: [0 mm, 46 mm], current: 6 mA, group: $m lamps}
      lantern: {type: warm white 0603, at: [50 mm, 20 mm], count: 8, step: [40 mm, 0 mm], current: 2 mA, group: $m lanterns}
      welder: {type: white 0603, at: [350 mm, 30 mm], current: 5 mA, group: $m welding}

"""  # noqa: E501 - one line is one line of a project file


def boiler_house(place: Place) -> ModuleText:
    """Write the module with the furnace doors, the lanterns and the welding bay."""
    middles = [58 + n * 88 for n in range(4)]
    furnaces = "".join(
        place.fill(_FURNACE, n=n, x=x, left=x - 9, letter="ab"[(n - 1) % 2])
        for n, x in enumerate(middles, start=1)
    )
    gauges = "".join(
        place.fill(_WATER_GAUGE, n=n, x=x, left=x - 7) for n, x in enumerate(middles, start=1)
    )
    return ModuleText(
        title="boiler house",
        sub_assemblies=place.names("boiler front", "boiler hall"),
        groups=(
            place.lamps("fire a", "boiler front", pattern="kind: fire"),
            place.lamps("fire b", "boiler front", pattern="kind: fire"),
            place.console("pressure", "boiler front", place.by_chance, led="red 3 mm"),
            place.console("feed water", "boiler front", "kind: steady", led="green 3 mm"),
            place.console("draught", "boiler front", "kind: steady", led="amber 3 mm"),
            place.lamps("lamps", "boiler hall", levels=BY_DAY),
            place.lamps("lanterns", "boiler hall", pattern="kind: flicker"),
            place.lamps("welding", "boiler hall", pattern="kind: welding arc"),
        ),
        text=place.fill(_BOILER_HOUSE, boxes=(furnaces + gauges).rstrip("\n")),
    )


_RELAY = """\
          relay box $n: {inside: rectangle 36 x 26 mm, at: [$x mm, 30 mm], depth: 16 mm, $box,
            leds: {R$n: {type: white 0603, at: [$left mm, 30 mm], count: 2, step: [16 mm, 0 mm], current: 0.8 mA}}}
"""  # noqa: E501 - one line is one line of a project file

_SWITCHYARD = """\
  $m relay house:                   # eight relay windows; points of the yard and the mast over them
    stands: {at: [$x10 mm, 860 mm], turn: 0 deg, up: 10 mm}
    pigtail: {plug: 6-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
      windows:
        outline: rectangle 380 x 140 mm
        sheet: styrene 1.0 mm
        openings:
          relay window: {shape: rectangle 28 x 18 mm, at: [28 mm, 30 mm], count: 8, step: [46 mm, 0 mm], layers: [opal film 40, straw gel], look: cable bay}
        boxes:
$boxes
        strands:
          ${m}B: {fibre: fibre 0.5 mm, at: [22 mm, 60 mm], count: 25, step: [14 mm, 0 mm], group: $m bays}
          ${m}F: {fibre: fibre 0.5 mm, at: [22 mm, 72 mm], count: 15, step: [24 mm, 0 mm], group: $m feeder a}
          ${m}G: {fibre: fibre 0.5 mm, at: [34 mm, 72 mm], count: 15, step: [24 mm, 0 mm], group: $m feeder b}
          ${m}C: {fibre: fibre 0.5 mm, at: [28 mm, 84 mm], count: 13, step: [27 mm, 0 mm], group: $m closed}
          ${m}X: {fibre: fibre 0.75 mm, at: [160 mm, 130 mm], count: 2, step: [60 mm, 0 mm], group: $m mast, head: proud}   # both masts in unison

  $m yard:
    stands: {at: [$x10 mm, 40 mm], turn: 0 deg, up: 5 mm, lies: flat}
    pigtail: {plug: 3-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      ground:
        outline: rectangle 380 x 300 mm
        sheet: styrene 1.0 mm
        openings:
          lamp hole: {shape: round 1.8 mm, at: [30 mm, 60 mm], count: 12, step: [29 mm, 0 mm], rows: 5, row_step: [0 mm, 50 mm]}
          cabin hole: {shape: round 1.8 mm, at: [18 mm, 20 mm], count: 23, step: [15 mm, 0 mm]}
    lamps:
      yard lamp: {type: warm white 0603, at: [30 mm, 60 mm], count: 12, step: [29 mm, 0 mm], rows: 5, row_step: [0 mm, 50 mm], current: 6 mA, group: $m yard lamps}
      cabin lamp: {type: warm white 0603, at: [18 mm, 20 mm], count: 23, step: [15 mm, 0 mm], current: 2 mA, group: $m cabins}

"""  # noqa: E501 - one line is one line of a project file


def switchyard(place: Place) -> ModuleText:
    """Write the module with the relay house, the masts and the yard."""
    boxes = "".join(
        place.fill(_RELAY, n=n, x=28 + (n - 1) * 46, left=20 + (n - 1) * 46) for n in range(1, 9)
    )
    chase = f"kind: chase, period: 4 s, set: {place.mark} feeders"
    mast = "kind: beacon, period: 1.5 s, fade: 0.2 s"
    return ModuleText(
        title="switchyard",
        sub_assemblies=place.names("relay house", "yard"),
        groups=(
            place.console("bays", "relay house", place.by_chance, led="green 3 mm"),
            place.console("feeder a", "relay house", chase, led="amber 3 mm"),
            place.console("feeder b", "relay house", chase, led="amber 3 mm"),
            place.console("closed", "relay house", "kind: steady", led="red 3 mm"),
            place.console(
                "mast", "relay house", mast, led="red 3 mm", note="40 flashes a minute, both masts"
            ),
            place.lamps("yard lamps", "yard", levels=BY_NIGHT),
            place.lamps("cabins", "yard", pattern="kind: room lights, period: 90 s"),
        ),
        text=place.fill(_SWITCHYARD, boxes=boxes.rstrip("\n")),
    )


_ROOM = """\
          room box $n: {inside: rectangle 38 x 28 mm, at: [$x mm, 40 mm], depth: 18 mm, $box,
            leds: {R$n: {type: warm white 0603, at: [$left mm, 40 mm], count: 3, step: [12 mm, 0 mm], current: 0.8 mA, group: $m rooms $story}}}
"""  # noqa: E501 - one line is one line of a project file

_OFFICES = """\
  $m facade:                        # eight rooms of three stories that live in the evening
    stands: {at: [$x10 mm, 860 mm], turn: 0 deg, up: 10 mm}
    pigtail: {plug: 5-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
      rooms:
        outline: rectangle 380 x 120 mm
        sheet: styrene 1.0 mm
        openings:
          room window: {shape: rectangle 30 x 20 mm, at: [28 mm, 40 mm], count: 8, step: [46 mm, 0 mm], layers: [opal film 40], look: room}
        boxes:
$boxes
        strands:
          ${m}A: {fibre: fibre 0.5 mm, at: [22 mm, 76 mm], count: 25, step: [14 mm, 0 mm], group: $m stairs}
          ${m}N: {fibre: fibre 0.25 mm, at: [22 mm, 92 mm], count: 25, step: [14 mm, 0 mm], group: $m sign}

  $m street:
    stands: {at: [$x10 mm, 200 mm], turn: 0 deg, up: 5 mm, lies: flat}
    pigtail: {plug: 6-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      pavement:
        outline: rectangle 380 x 300 mm
        sheet: styrene 1.0 mm
        openings:
          lamp hole: {shape: round 1.8 mm, at: [35 mm, 60 mm], count: 11, step: [31 mm, 0 mm], rows: 6, row_step: [0 mm, 40 mm]}
          cinema hole: {shape: round 1.8 mm, at: [60 mm, 280 mm], count: 9, step: [30 mm, 0 mm]}
        strands:
          ${m}L: {fibre: fibre 0.75 mm, at: [30 mm, 30 mm], count: 10, step: [36 mm, 0 mm], group: $m crossing a}
          ${m}J: {fibre: fibre 0.75 mm, at: [48 mm, 30 mm], count: 10, step: [36 mm, 0 mm], group: $m crossing b}
    lamps:
      street lamp: {type: warm white 0603, at: [35 mm, 60 mm], count: 11, step: [31 mm, 0 mm], rows: 6, row_step: [0 mm, 40 mm], current: 14 mA}
      cinema lamp: {type: white 0603, at: [60 mm, 280 mm], count: 9, step: [30 mm, 0 mm], current: 2 mA, group: $m cinema}

"""  # noqa: E501 - one line is one line of a project file


def offices(place: Place) -> ModuleText:
    """Write the module with the rooms of an evening, the street and the crossing."""
    boxes = "".join(
        place.fill(_ROOM, n=n, x=x, left=x - 12, story=1 + (n - 1) % 3)
        for n, x in ((n, 28 + (n - 1) * 46) for n in range(1, 9))
    )
    crossing = f"kind: grade crossing, period: 1.2 s, fade: 0.1 s, set: {place.mark} crossing"
    return ModuleText(
        title="offices",
        sub_assemblies=place.names("facade", "street"),
        groups=(
            *(
                place.lamps(f"rooms {n}", "facade", pattern="kind: room lights, period: 120 s")
                for n in (1, 2, 3)
            ),
            place.console("stairs", "facade", "kind: steady", led="warm white 3 mm"),
            place.console("sign", "facade", "kind: steady", led="blue 3 mm"),
            place.console("crossing a", "street", crossing, led="red 3 mm"),
            place.console("crossing b", "street", crossing, led="red 3 mm"),
            place.lamps("cinema", "street", pattern="kind: screen flicker"),
        ),
        text=place.fill(_OFFICES, boxes=boxes.rstrip("\n")),
        hatch=place.fill("    $m street: {shape: rectangle 32 x 14 mm, at: [$x210 mm, 230 mm]}"),
    )
