"""A small model with a wall, a bent bay and a table, laid out on a floor."""

from functools import cache
from pathlib import Path

from lamphouse.plan import make
from lamphouse.project.read import read_text

TEXT = """\
lamphouse: 1
name: Ferry office
scale: 1:24
room: {size: 300 x 200 x 150 mm}
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, fuse: 250 mA}
loom:
  supply_at: [150 mm, 190 mm]
  feeds:
    day: {sub_assemblies: [wall, table]}
    night: {sub_assemblies: [bay], switch: yes, fuse: 100 mA}
  holes:
    H1: {at: [12 mm, 188 mm], for: [wall]}
groups:
  lamp: {in: wall, source: {led: red 3 mm, current: 5 mA}, pattern: {kind: beacon, period: 4 s}}
sub_assemblies:
  wall:
    stands: {at: [0 mm, 200 mm]}
    pigtail: {plug: 3-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
    panels: {face: {outline: rectangle 140 x 80 mm, sheet: styrene 1.0 mm}}
    lamps: {L: {type: white 0603, at: [10 mm, 10 mm], current: 2 mA}}
  bay:
    stands: {at: [300 mm, 160 mm], turn: 270 deg}
    pigtail: {plug: 2-pin 2.0 mm, wire: 28 AWG insulated, length: 120 mm}
    panels:
      glazing:
        curve: {inner_radius: 60 mm, angle: 120 deg, layers: [styrene 0.5 mm]}
        height: 70 mm
    lamps: {B: {type: white 0603, at: [10 mm, 10 mm], current: 2 mA}}
  table:
    stands: {at: [90 mm, 40 mm], turn: 30 deg, up: 30 mm, lies: flat}
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 120 mm}
    panels: {top: {outline: rectangle 60 x 40 mm, sheet: styrene 1.0 mm}}
    lamps: {T: {type: white 0603, at: [10 mm, 10 mm], current: 2 mA}}
"""
SALTMARSH = Path(__file__).parents[2] / "src/lamphouse/project/scenarios/saltmarsh/mended.yaml"


@cache
def plan(text: str = TEXT):
    reading = read_text(text, file="project.yaml")
    return make.plan(reading.design, found=reading.findings)
