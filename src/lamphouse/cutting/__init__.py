"""The flat pieces, their holes, and the drill chart.

- ``cutlist``: every flat piece of one panel and its boxes; the front door of the room.
- ``piece``: the records of a flat piece, its drilled holes and the seats marked on it.
- ``layout``: a panel's openings and strand holes, told apart by how they are made.
- ``template``: panels as pieces with cut-outs and numbered holes.
- ``lamination``: curved panels, each layer its own length and its own hole places.
- ``drill``: which drill makes a hole, and the chart of a piece's holes.
- ``ring``: flat walls round a polygon that meet without overlap or gap.
- ``walls``: the pieces of a light box, with the sheet's thickness taken off at the joints.
- ``frame``: what all pieces of a light box share.
- ``wall_piece``: one wall of a light box, with all that falls on it.
- ``wall_holes``: passages as holes in the walls of two boxes, and what else is on those walls.
- ``wall_room``: room for a passage on its walls, and where it would fit.
- ``seats``: seats of LEDs, holes for their wires, feet of baffles.
- ``opening_rules``: what is said about outlines and openings.
- ``hole_rules``: what is said about drilled holes.
- ``box_rules``: what is said about the walls of a light box.
- ``led_rules``: what is said about the LEDs in it.
- ``inside_rules``: what is said about its baffles and inner diffuser.
- ``behind_rules``: what is said about its place behind the panel.
- ``overlay_rules``: what is said about pieces on the face of a panel.
- ``neighbours``: what lies close together on a panel.
- ``wall_hole_rules``: what is said about passages in their walls.
- ``mends``: moves and sizes that would mend a fault.
"""
