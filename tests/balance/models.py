"""A small model with three light boxes, for the tests of balance."""

from lamphouse.project.read import read_text

TEXT = """\
lamphouse: 1
name: Three screens
revision: A
date: 2026-11-25
scale: 1:24
seed: 1
paper: A4
room: {size: 300 x 200 x 150 mm, room_light: 20 lx, viewing_distance: 60 cm}
supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
circuit: {resistors: E12, resistor_tolerance: 5 %, ambient: 15 to 35 degC}
looks:
  lit panel: {luminance: 20 to 100 cd/m2, evenness: 30 %}
  dim panel: {luminance: 20 to 60 cd/m2, evenness: 30 %}
sub_assemblies:
  desk:
    stands: {at: [40 mm, 60 mm]}
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 400 mm}
    panels:
      top:
        outline: rectangle 150 x 50 mm
        sheet: styrene 0.75 mm
        openings:
          left:
            {shape: rectangle 20 x 20 mm, at: [25 mm, 25 mm], layers: [opal film 60],
             look: lit panel}
          middle:
            {shape: rectangle 20 x 20 mm, at: [75 mm, 25 mm], layers: [opal film 40],
             look: dim panel}
          right:
            {shape: rectangle 24 x 12 mm, at: [125 mm, 25 mm], layers: [opal film 60],
             look: lit panel}
        boxes:
          left box:
            inside: rectangle 28 x 28 mm
            at: [25 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              L:                               # too bright by far
                {type: white 0603, at: [20 mm, 25 mm], count: 2, step: [10 mm, 0 mm],
                 current: 2 mA}
          middle box:
            inside: rectangle 28 x 28 mm
            at: [75 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              M: {type: white 0603, at: [75 mm, 25 mm], current: 1 mA}
          right box:
            inside: rectangle 32 x 20 mm
            at: [125 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              R:
                {type: white 0603, at: [120 mm, 25 mm], count: 2, step: [10 mm, 0 mm],
                 current: 5 mA}
    strings:
      pair: {leds: [L1, L2]}             # soldered last week
    lamps:
      lamp: {type: red 0603, at: [5 mm, 5 mm], current: 1 mA}
drawer:
  - {part: resistor 27k, count: 5}       # from the old layout
"""


def reading_of(text=TEXT, **changes):
    """Read the model, with pieces of its text changed."""
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    return read_text(text, file="project.yaml")


def lit(plan):
    """Give every lit opening by name."""
    return {opening.opening: opening for glow in plan.glows for opening in glow.openings}
