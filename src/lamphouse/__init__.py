"""Lamphouse: light the inside of a scale model and know how it will look before the glue.

The rooms, from the faces down (a room imports only rooms below it):

- ``cli``: the commands a maker types; arguments in, text or JSON out.
- ``project``: the maker's text file, read with every fault named, written with comments kept.
- ``outputs``: bytes for people and machines: SVG, DXF, PDF, CSV, JSON, the pack.
- ``storage``: bytes onto the disk, whole or not at all.
- ``drawings``: results as lines and text in mm, knowing no file format.
- ``plan``: the whole chain, from a design to everything computed from it.
- ``build``: the parts list.
- ``balance``: currents and resistors that bring every opening of the model to its look.
- ``board``: parts and wires on perforated board or stripboard, laid out and proved.
- ``circuit``: strings of LEDs, their resistors, their worst cases.
- ``light``: how light boxes glow, where they leak, and where their LEDs go.
- ``cutting``: the flat pieces, their holes, and the drill chart.
- ``design``: what the maker decided, in base units, with no formula.
- ``catalogue``: what can be bought or measured, each row with its source.
- ``shapes``: plane geometry, and the only user of the polygon library.
- ``units``: text to numbers in base units, and back.
- ``findings``: what the maker should know.
- ``sources``: where numbers come from.
- ``record``: what every frozen record is made from.
"""

__version__ = "0.1.0"
