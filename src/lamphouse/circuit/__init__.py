"""Strings of LEDs: their resistors, their currents, and what the worst case does to them.

- ``verdict``: the front door: circuits with their findings.
- ``branch``: the records of a designed string, a sub-assembly's circuit, and the supply's load.
- ``netlist``: a circuit as the solver sees it, and in what a second one differs.
- ``wired``: the records of a sub-assembly as it is soldered.
- ``wiring_up``: from designed strings to the circuit that is soldered.
- ``nodal``: the operating point of a netlist in all its variations.
- ``varied``: a netlist and its variations as arrays.
- ``joined``: nodes at one voltage difference whatever flows, and the currents there.
- ``elimination``: voltages in many networks of conductances at once.
- ``curve``: the forward curve of an LED as a diode with series resistance, fitted to its points.
- ``solve``: the current in branches, alone or behind a common lead.
- ``resistors``: preferred numbers, power at the warmest ambient, and the marks on the part.
- ``grouping``: which LEDs share a string.
- ``corners``: the worst case of strings behind one lead.
- ``strings``: from wishes to designed strings.
- ``mend``: what would mend a weak string.
- ``terminals``: what fuse and protection leave of the supply.
- ``discharge``: how long cells last.
- ``load``: what all sub-assemblies take from the supply.
- ``phrases``: circuits in a builder's words.
- ``wish_rules``: rules on what the maker asks.
- ``string_rules``: rules on designed strings.
- ``pigtail_rules``: rules on pigtails and what fuses them.
- ``supply_rules``: rules on the supply.
- ``cell_rules``: rules on cells.
- ``feed_rules``: rules on fuse and protection.
"""
