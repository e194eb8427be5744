"""Small models of plain walls in a room, for the tests of this folder."""

from lamphouse.plan import make
from lamphouse.project.read import read_text

HEAD = """\
lamphouse: 1
name: Boat shed
scale: 1:24
room: {{size: 300 x 200 x 150 mm{room}}}
supply: {{kind: plug-in supply, voltage: 12 V, max_current: 500 mA}}
loom: {{floor: 3 mm{loom}}}
sub_assemblies:
"""
LAMP = "    lamps: {L: {type: white 0603, at: [5 mm, 5 mm], current: 1 mA}}\n"
PIGTAIL = "    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 400 mm}\n"


def wall(name, at, *, size=(80, 50), more="", box=None, sheet="styrene 1.0 mm", lit=False):
    """Write a plain sub-assembly: where it stands, and a light box of a depth behind its middle."""
    wide, high = size
    text = f"  {name}:\n    stands: {{at: [{at[0]} mm, {at[1]} mm]{more}}}\n"
    text += (PIGTAIL + LAMP) if lit else ""
    text += f"    panels:\n      face:\n        outline: rectangle {wide} x {high} mm\n"
    text += f"        sheet: {sheet}\n"
    if box:
        text += (
            f"        openings:\n          hole: {{shape: rectangle {wide - 30} x {high - 30} mm, "
            f"at: [{wide / 2} mm, {high / 2} mm]}}\n"
            f"        boxes:\n          lamp box:\n"
            f"            inside: rectangle {wide - 20} x {high - 20} mm\n"
            f"            at: [{wide / 2} mm, {high / 2} mm]\n            depth: {box} mm\n"
            "            sheet: styrene 1.0 mm\n            finish: matt white paint\n"
        )
    return text


def text_of(*walls, room="", loom=""):
    return HEAD.format(room=room, loom=loom) + "".join(walls)


def plan_of(*walls, room="", loom=""):
    return plan_text(text_of(*walls, room=room, loom=loom))


def plan_text(text):
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(f) for f in reading.findings]
    return make.plan(reading.design, found=reading.findings)


def told(plan):
    """Give the findings about the room by code."""
    return [f for f in plan.findings if f.code.startswith("ROM")]


def codes(plan):
    return sorted(f.code for f in told(plan))
