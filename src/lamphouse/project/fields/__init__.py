"""Every key of the project file, with its unit, range, default and help.

- ``values``: kinds of values: measures, counts, choices, names, dates.
- ``shape_words``: shapes in words or as points.
- ``shape_changes``: changes to a shape: grown, shrunk, rounded, mirrored.
- ``mask_fields``: the painting of a panel.
- ``sections``: what all sections share.
- ``supply_fields``: the supply, the circuit, strings, boards, pigtails.
- ``room_fields``: the room, its walls and hull, what is under it, and where things stand in it.
- ``loom_fields``: the wiring under the floor.
- ``light_fields``: LEDs and rows.
- ``blink_fields``: source groups, patterns, scenes.
- ``fixing_fields``: screws and magnets of light boxes.
- ``controller_fields``: what switches source groups.
- ``pillar_fields``: what stands through light boxes from back to panel.
- ``box_fields``: light boxes, what stands in them and what closes them.
- ``panel_fields``: panels, openings, layers, overlays, strands.
- ``print_fields``: print charts and their readings.
- ``curve_fields``: cylinders and cones, their layers, lap and former.
- ``cutting_fields``: gap, edge, kerf, locked pieces.
- ``built_fields``: figures as built.
- ``upkeep_fields``: prices, and the papers for later.
- ``work_fields``: evenings, own steps and orders, parts that are not there yet.
- ``project_fields``: the whole file.
"""
