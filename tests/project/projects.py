"""Small projects the tests of this folder start from."""

import re
from pathlib import Path

from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

SMALL = """\
lamphouse: 1
name: Small
scale: 1:24
room: {size: 300 x 200 x 150 mm}
supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA}
looks:
  lit: {luminance: 20 to 100 cd/m2}
groups:
  glow: {in: desk, source: {led: warm white 3 mm, current: 5 mA}}
sub_assemblies:
  desk:
    stands: {at: [40 mm, 60 mm]}
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 160 mm}
    panels:
      top:
        outline: rectangle 84 x 52 mm
        sheet: styrene 1.0 mm
        openings:
          screen: {shape: rectangle 20 x 10 mm, at: [34 mm, 26 mm], look: lit}
        strands:
          F: {fibre: fibre 0.5 mm, at: [5 mm, 5 mm], group: glow}
    lamps:
      lamp: {type: white 0603, at: [76 mm, 40 mm], current: 1 mA}
"""
"""Sound, and small enough to see whole."""

SALTMARSH = demo_text("saltmarsh")
PICTURES = demo_pictures("saltmarsh")

OLD = Path(__file__).parent / "old"


def read(text: str):
    """Read a project's text."""
    return read_text(text, file="project.yaml", own_pictures=PICTURES)


def codes(text: str) -> list[str]:
    """List the codes of the findings in a text."""
    return [found.code for found in read(text).findings]


def small(old: str, new: str) -> str:
    """Change one place of the small project."""
    assert SMALL.count(old) == 1, f"{old!r} stands {SMALL.count(old)} times"
    return SMALL.replace(old, new)


def only(text: str, code: str):
    """Give the one finding of a text, which must have this code."""
    found = read(text).findings
    assert [one.code for one in found] == [code], [str(one) for one in found]
    return found[0]


def line_of(text: str, words: str) -> int:
    """Give the line, from 1, where words stand first."""
    return text[: re.search(re.escape(words), text).start()].count("\n") + 1
