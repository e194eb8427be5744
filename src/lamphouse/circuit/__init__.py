"""Strings of LEDs: their resistors, their currents, and what the worst case does to them.

- ``curve``: the forward curve of an LED as a diode with series resistance, fitted to its points.
- ``solve``: the current in branches fed through a common resistance.
- ``branch``: the records of a designed string, a sub-assembly's circuit, and the supply's load.
- ``resistors``: preferred numbers, the value to solder in, its power and its rating.
- ``strings``: from wishes to designed strings, with the worst case of each.
- ``load``: a sub-assembly's and the supply's currents against what they can give.
"""
