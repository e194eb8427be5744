"""The flat pieces, their holes, and the drill chart.

- ``cutlist``: every flat piece of one panel and its boxes; the front door of the room.
- ``piece``: the records of a flat piece, its drilled holes and the seats marked on it.
- ``layout``: a panel's openings and strand holes, told apart by how they are made.
- ``template``: panels as pieces with cut-outs and numbered holes.
- ``lamination``: curved panels, each layer its own length and its own hole places.
- ``drill``: which drill makes a hole, and the chart of a piece's holes.
- ``ring``: flat walls round a polygon that meet without overlap or gap.
- ``walls``: the pieces of a light box, with the sheet's thickness taken off at the joints.
- ``seats``: seats of LEDs, holes for their wires, feet of baffles.
- ``opening_rules``: what is said about outlines and openings.
- ``hole_rules``: what is said about drilled holes.
- ``box_rules``: what is said about the walls of a light box.
- ``led_rules``: what is said about the LEDs in it.
- ``inside_rules``: what is said about its baffles and inner diffuser.
- ``behind_rules``: what is said about its place behind the panel.
- ``neighbours``: what lies close together on a panel.
- ``mends``: moves and sizes that would mend a fault.
"""
