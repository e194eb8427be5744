"""What the maker decided: frozen records in base units, with no formula.

- ``whole``: the design of one model, everything below in one record.
- ``as_built``: what the model has in the place of what was designed.
- ``artwork``: pictures to be printed, and the printer they go through.
- ``panel``: outlines, openings and their layers, and the panels that carry them.
- ``lightbox``: the closed space behind a panel, its LEDs and baffles.
- ``led_body``: how the body of an LED stands on its seat.
- ``box_faces``: its faces by name, and which finish each has.
- ``masks``: how panels are painted.
- ``strand``: fibre runs, and the source groups that light them.
- ``pattern``: what a source group does over time.
- ``day_scenes``: parts of the model's time line, and what begins them.
- ``controller``: what switches source groups over time.
- ``supply``: the supply under the floor, and each sub-assembly's strings, board and pigtail.
- ``loom``: what is wanted of the wiring under the floor.
- ``cutting_habits``: how the maker lays pieces on sheets and cuts them.
- ``surroundings``: fixed walls, the hull behind them, what is under the floor, the ways out.
- ``place``: the room, and where sub-assemblies stand in it.
- ``work``: own steps, own orders, parts that are waited for.
- ``prices``: what the maker pays for parts.
- ``care``: how the finished model is shown, and its papers.
"""
