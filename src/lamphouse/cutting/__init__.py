"""The flat pieces, their holes, and the drill chart.

- ``cutlist``: every flat piece of one panel and its boxes; the front door of the room.
- ``piece``: the records of a flat piece, its drilled holes and the seats marked on it.
- ``layout``: a panel's openings and strand holes, told apart by how they are made.
- ``template``: panels as pieces with cut-outs and numbered holes.
- ``curve``: laminated curved panels, each layer its own length and its own hole places.
- ``drill``: which drill makes a hole, and the chart of a piece's holes.
- ``ring``: flat walls round a polygon that meet without overlap or gap.
- ``walls``: the pieces of a light box, with the sheet's thickness taken off at the joints.
- ``seats``: seats of LEDs, holes for their wires, feet of baffles.
- ``opening_rules``, ``hole_rules``: what is said about openings and drilled holes.
- ``box_rules``, ``led_rules``, ``inside_rules``, ``behind_rules``: what is said about light boxes,
  from their walls to their place behind the panel.
- ``neighbours``, ``mends``: what lies close together, and moves that would mend it.
"""
