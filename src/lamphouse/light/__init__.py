"""Light inside a closed box: how every opening glows, and the solver behind it.

- ``scene``: the solver's own records of a box.
- ``sound_box``: what the solver refuses.
- ``uprights``: walls and baffles as directed foot lines.
- ``plan_cells``: the plan cut into cells.
- ``mesh``: cells, columns and layers, fine and coarse.
- ``edge_integrals``: exchange between faces from integrals over their edges.
- ``sight``: what faces see of one another.
- ``factors``: the exchange of all faces of a cavity.
- ``cover``: how much of a cell an opening takes up.
- ``emitter``: light straight from a lamp.
- ``step_size``: how finely a box is cut.
- ``interior``: the faces of a box, their paint and exchange.
- ``cavity``: the balance of light that settles.
- ``haze``: diffusers that do not spread light evenly.
- ``hole``: light lost through a thick panel.
- ``views``: the openings as the solver sees them.
- ``front``: luminance, evenness and hot spot.
- ``glow``: the front door.
- ``live``: a box kept solved while lamps move.
- ``picture``: the glow as pixels.
"""
