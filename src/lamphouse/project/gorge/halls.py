"""The modules with walls and vaults: control room, turbine hall, tunnel."""

from lamphouse.project.gorge.module_text import BY_DAY, BY_NIGHT, ModuleText, Place

TILES = 7

_TILE = """\
      tile $n:
        at: [$x mm, 0 mm]
        outline: rectangle 60 x 90 mm
        sheet: styrene 1.0 mm
        openings:
          diagram $n: {shape: rectangle 36 x 48 mm, at: [30 mm, 58 mm], layers: [opal film 60, {film: print film, films: 2}], look: diagram, match: $m mosaic}
        boxes:
          diagram box $n: {inside: rectangle 40 x 52 mm, at: [30 mm, 58 mm], depth: 20 mm, $box,
            leds: {D$n: {type: white 0603, at: [20 mm, 46 mm], count: 2, step: [20 mm, 0 mm], rows: 2, row_step: [0 mm, 24 mm], current: 0.8 mA}}}
        strands:
          ${m}L$n: {fibre: fibre 0.5 mm, at: [8 mm, 14 mm], count: 3, step: [6 mm, 0 mm], group: $m load}
          ${m}A$n: {fibre: fibre 0.5 mm, at: [26 mm, 14 mm], count: 2, step: [12 mm, 0 mm], group: $m line a}
          ${m}B$n: {fibre: fibre 0.5 mm, at: [32 mm, 14 mm], count: 2, step: [12 mm, 0 mm], group: $m line b}
          ${m}V$n: {fibre: fibre 0.5 mm, at: [$live mm, 14 mm], group: $m live}$note
"""  # noqa: E501 - one line is one line of a project file

_CONTROL_ROOM = """\
  $m diagram wall:                  # the mosaic wall, 420 x 90 mm in seven tiles
    stands: {at: [$x50 mm, 200 mm], turn: 90 deg, up: 20 mm}
    pigtail: {plug: 5-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
$tiles
  $m dispatcher desk:
    stands: {at: [$x150 mm, 350 mm], turn: 0 deg, up: 20 mm, lies: flat}
    pigtail: {plug: 3-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 50 x 30 mm, resistors: axial 1/4 W}
    panels:
      desk top:
        outline: rectangle 200 x 60 mm
        sheet: styrene 1.0 mm
        openings:
          screen: {shape: rectangle 18 x 11 mm, at: [22 mm, 40 mm], count: 7, step: [26 mm, 0 mm], layers: [opal film 60, {film: print film, films: 2}], look: desk screen}
        boxes:
          screens box: {inside: rectangle 184 x 20 mm, at: [100 mm, 40 mm], depth: 14 mm, $box,
            leds: {S: {type: white 0603, at: [22 mm, 40 mm], count: 7, step: [26 mm, 0 mm], current: 0.5 mA}}}
        strands:
          ${m}K: {fibre: fibre 0.5 mm, at: [22 mm, 18 mm], count: 7, step: [26 mm, 0 mm], group: $m keys}
          ${m}Y: {fibre: fibre 0.5 mm, at: [22 mm, 10 mm], count: 7, step: [26 mm, 0 mm], group: $m ready}

  $m control ceiling:
    stands: {at: [$x10 mm, 300 mm], turn: 0 deg, up: 150 mm, lies: flat}
    pigtail: {plug: 4-pin 2.0 mm, wire: 26 AWG insulated, length: 350 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      ceiling:
        outline: rectangle 380 x 300 mm
        sheet: styrene 1.0 mm
        openings:
          tube hole: {shape: round 1.8 mm, at: [40 mm, 50 mm], count: 8, step: [42 mm, 0 mm], rows: 6, row_step: [0 mm, 42 mm]}
          spot hole: {shape: round 1.8 mm, at: [40 mm, 20 mm], count: 14, step: [22 mm, 0 mm]}
    lamps:
      ceiling lamp: {type: white 0603, at: [40 mm, 50 mm], count: 8, step: [42 mm, 0 mm], rows: 6, row_step: [0 mm, 42 mm], current: 6 mA, group: $m lamps}
      spot: {type: warm white 0603, at: [40 mm, 20 mm], count: 14, step: [22 mm, 0 mm], current: 2 mA, group: $m spots}

"""  # noqa: E501 - one line is one line of a project file


def control_room(place: Place) -> ModuleText:
    """Write the module with the mosaic diagram wall and the dispatcher's desk."""
    tiles = "".join(_tile(place, n) for n in range(1, TILES + 1))
    chase = f"kind: chase, period: 2 s, set: {place.mark} lines"
    return ModuleText(
        title="control room",
        sub_assemblies=place.names("diagram wall", "dispatcher desk", "control ceiling"),
        groups=(
            place.console("load", "diagram wall", place.by_chance, led="green 3 mm"),
            place.console("line a", "diagram wall", chase, led="red 3 mm"),
            place.console("line b", "diagram wall", chase, led="red 3 mm"),
            place.console("live", "diagram wall", "kind: steady", led="green 3 mm"),
            place.console("keys", "dispatcher desk", place.by_chance, led="amber 3 mm"),
            place.console("ready", "dispatcher desk", "kind: steady", led="green 3 mm"),
            place.lamps("lamps", "control ceiling", levels=BY_DAY),
            place.lamps("spots", "control ceiling", levels=BY_NIGHT),
        ),
        text=place.fill(_CONTROL_ROOM, tiles=tiles),
        hatch=place.fill("    $m desk: {shape: rectangle 12 x 24 mm, at: [$x250 mm, 362 mm]}"),
    )


_HOLE_NOTES = {
    True: "   # planted: in the hole of a strand of line b",
    False: "   # mended: in a hole of its own",
}


def _tile(place: Place, number: int) -> str:
    """Write a tile of the mosaic wall; first planned with two groups in one hole."""
    last = place.number == 1 and number == TILES
    return place.fill(
        _TILE,
        n=number,
        x=(number - 1) * 60,
        live=44 if last and place.planted else 52,
        note=_HOLE_NOTES[place.planted] if last else "",
    )


_GAUGE = """\
          gauge box $n: {inside: rectangle 32 x 34 mm, at: [$x mm, 80 mm], depth: 18 mm, $box,
            leds: {G$n: {type: warm white 0603, at: [$left mm, 80 mm], count: 2, step: [14 mm, 0 mm], current: 0.8 mA}}}
"""  # noqa: E501 - one line is one line of a project file

_TURBINE_HALL = """\
  $m gauge wall:                    # eight unit gauges over the desks of the four units
    stands: {at: [$x10 mm, 860 mm], turn: 0 deg, up: 10 mm}
    pigtail: {plug: 6-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
      gauges:
        outline: rectangle 380 x 130 mm
        sheet: styrene 1.0 mm
        openings:
          gauge: {shape: round 26 mm, at: [28 mm, 80 mm], count: 8, step: [46 mm, 0 mm], layers: [opal film 60, straw gel], look: gauge}
        boxes:
$gauges
        strands:
          ${m}U: {fibre: fibre 0.5 mm, at: [16 mm, 40 mm], count: 20, step: [18 mm, 0 mm], group: $m unit 1}
          ${m}W: {fibre: fibre 0.5 mm, at: [16 mm, 28 mm], count: 20, step: [18 mm, 0 mm], group: $m unit 2}
          ${m}F: {fibre: fibre 0.75 mm, at: [20 mm, 16 mm], count: 10, step: [36 mm, 0 mm], group: $m flow a}
          ${m}H: {fibre: fibre 0.75 mm, at: [38 mm, 16 mm], count: 10, step: [36 mm, 0 mm], group: $m flow b}
          ${m}Q: {fibre: fibre 0.5 mm, at: [16 mm, 118 mm], count: 10, step: [38 mm, 0 mm], group: $m on line}

  $m apse:                          # the end of the hall, washed by lamps at its foot
    stands: {at: [$x150 mm, 500 mm], turn: 270 deg, up: 0 mm}
    pigtail: {plug: 2-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 50 x 30 mm, resistors: axial 1/4 W}
    panels:
      apse wall:
        curve: {inner_radius: 180 mm, angle: 150 deg, former: foam board 3.0 mm, layers: [styrene 0.5 mm, styrene 0.5 mm]}
        height: 120 mm
        openings:
          window: {shape: rectangle 30 x 60 mm, at: [47 mm, 70 mm], count: 6, step: [75 mm, 0 mm]}
          foot hole: {shape: round 1.8 mm, at: [40 mm, 12 mm], count: 10, step: [43 mm, 0 mm]}
    lamps:
      foot lamp: {type: warm white 0603, at: [40 mm, 12 mm], count: 10, step: [43 mm, 0 mm], current: 2 mA, group: $m apse light}

  $m hall roof:
    stands: {at: [$x10 mm, 520 mm], turn: 0 deg, up: 200 mm, lies: flat}
    pigtail: {plug: 4-pin 2.0 mm, wire: 26 AWG insulated, length: 380 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      roof:
        outline: rectangle 380 x 320 mm
        sheet: styrene 1.0 mm
        openings:
          lamp hole: {shape: round 1.8 mm, at: [30 mm, 40 mm], count: 12, step: [29 mm, 0 mm], rows: 6, row_step: [0 mm, 48 mm]}
    lamps:
      roof lamp: {type: white 0603, at: [30 mm, 40 mm], count: 12, step: [29 mm, 0 mm], rows: 6, row_step: [0 mm, 48 mm], current: 6 mA, group: $m lamps}

"""  # noqa: E501 - one line is one line of a project file


def turbine_hall(place: Place) -> ModuleText:
    """Write the module with the unit gauges and the apse at the end of the hall."""
    gauges = "".join(
        place.fill(_GAUGE, n=n, x=28 + (n - 1) * 46, left=21 + (n - 1) * 46) for n in range(1, 9)
    )
    chase = f"kind: chase, period: 3 s, set: {place.mark} flow"
    return ModuleText(
        title="turbine hall",
        sub_assemblies=place.names("gauge wall", "apse", "hall roof"),
        groups=(
            place.console("unit 1", "gauge wall", place.by_chance, led="green 3 mm"),
            place.console("unit 2", "gauge wall", place.by_chance, led="amber 3 mm"),
            place.console("flow a", "gauge wall", chase, led="blue 3 mm"),
            place.console("flow b", "gauge wall", chase, led="blue 3 mm"),
            place.console("on line", "gauge wall", "kind: steady", led="red 3 mm"),
            place.lamps("apse light", "apse", levels=BY_NIGHT),
            place.lamps("lamps", "hall roof", levels=BY_DAY),
        ),
        text=place.fill(_TURBINE_HALL, gauges=gauges.rstrip("\n")),
    )


_LIFT = """\
      lift $n:
        at: [0 mm, $y mm]
        curve: {inner_radius: 260 mm, angle: 180 deg, former: foam board 3.0 mm, layers: [styrene 0.5 mm, styrene 0.5 mm]}
        height: 110 mm
        openings:
          tube slot: {shape: slot 40 x 3 mm, at: [128 mm, 55 mm], count: 5, step: [140 mm, 0 mm]}
"""  # noqa: E501 - one line is one line of a project file
_LIFT_LAMPS = """\
      tube $n-: {type: white 0603, at: [115 mm, 55 mm], count: 3, step: [13 mm, 0 mm], rows: 5, row_step: [140 mm, 0 mm], current: 5 mA, group: $m tubes $letter}
"""  # noqa: E501 - one line is one line of a project file
_BAY = """\
          bay box $n: {inside: rectangle 36 x 26 mm, at: [$x mm, 62 mm], depth: 16 mm, $box,
            leds: {B$n: {type: warm white 0603, at: [$left mm, 62 mm], count: 2, step: [16 mm, 0 mm], current: 0.8 mA}}}
"""  # noqa: E501 - one line is one line of a project file

_TUNNEL = """\
  $m vault:                         # R 260 mm, 180 deg, in three lifts; its tubes strike one after another
    stands: {at: [$x380 mm, 60 mm], turn: 90 deg, up: 0 mm, lies: flat}
    pigtail: {plug: 4-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 80 x 50 mm, resistors: axial 1/4 W}
    panels:
$lifts
    lamps:
$lamps

  $m cable bays:                    # eight lit bays with points over them
    stands: {at: [$x10 mm, 880 mm], turn: 0 deg, up: 10 mm}
    pigtail: {plug: 5-pin 2.0 mm, wire: 26 AWG insulated, length: 200 mm}
    board: {kind: perforated, space: 110 x 60 mm, resistors: axial 1/4 W}
    panels:
      bays:
        outline: rectangle 380 x 110 mm
        sheet: styrene 1.0 mm
        openings:
          bay: {shape: rectangle 30 x 20 mm, at: [28 mm, 62 mm], count: 8, step: [46 mm, 0 mm], layers: [opal film 40, amber gel], look: cable bay}
        boxes:
$bays
        strands:
          ${m}E: {fibre: fibre 0.5 mm, at: [16 mm, 98 mm], count: 20, step: [18 mm, 0 mm], group: $m phase 1}
          ${m}I: {fibre: fibre 0.5 mm, at: [16 mm, 88 mm], count: 20, step: [18 mm, 0 mm], group: $m phase 2}
          ${m}O: {fibre: fibre 0.5 mm, at: [16 mm, 34 mm], count: 15, step: [24 mm, 0 mm], group: $m phase 3}
          ${m}R: {fibre: fibre 0.75 mm, at: [16 mm, 16 mm], count: 5, step: [86 mm, 0 mm], group: $m alarm a}
          ${m}S: {fibre: fibre 0.75 mm, at: [28 mm, 16 mm], count: 5, step: [86 mm, 0 mm], group: $m alarm b}
          ${m}T: {fibre: fibre 0.75 mm, at: [22 mm, 8 mm], count: 5, step: [86 mm, 0 mm], group: $m alarm c}
    lamps:
      bay lamp: {type: warm white 0603, at: [25 mm, 102 mm], count: 18, step: [18 mm, 0 mm], rows: 2, row_step: [0 mm, 2 mm], current: 2 mA}

"""  # noqa: E501 - one line is one line of a project file


def tunnel(place: Place) -> ModuleText:
    """Write the module with the tunnel vault, its striking tubes and the rotating alarm."""
    letters = "abc"
    lifts = "".join(place.fill(_LIFT, n=n + 1, y=n * 115) for n in range(3))
    lamps = "".join(
        place.fill(_LIFT_LAMPS, n=n, letter=letter) for n, letter in enumerate(letters, start=1)
    )
    bays = "".join(
        place.fill(_BAY, n=n, x=28 + (n - 1) * 46, left=20 + (n - 1) * 46) for n in range(1, 9)
    )
    alarm = f"kind: rotating alarm, period: 1.5 s, fade: 0.3 s, set: {place.mark} alarm"
    return ModuleText(
        title="tunnel",
        sub_assemblies=place.names("vault", "cable bays"),
        groups=(
            *(place.lamps(f"tubes {one}", "vault", pattern="kind: tube strike") for one in letters),
            *(
                place.console(f"phase {n}", "cable bays", "kind: steady", led="green 3 mm")
                for n in (1, 2, 3)
            ),
            *(place.console(f"alarm {x}", "cable bays", alarm, led="amber 3 mm") for x in letters),
        ),
        text=place.fill(
            _TUNNEL,
            lifts=lifts.rstrip("\n"),
            lamps=lamps.rstrip("\n"),
            bays=bays.rstrip("\n"),
        ),
    )
