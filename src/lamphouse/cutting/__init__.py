"""The flat pieces, their holes, and the drill chart.

- ``cutlist``: every flat piece of one panel and its boxes; the front door of the room.
- ``piece``: the records of a flat piece, its drilled holes and the seats marked on it.
- ``layout``: a panel's openings and strand holes, told apart by how they are made.
- ``template``: panels as pieces with cut-outs and numbered holes.
- ``lamination``: bent walls, each layer its own development and its own hole places.
- ``curve_rules``: borrowed hole places, thick sheet, joints, laps and formers of bent walls.
- ``former``: ribs and uprights a wall is bent over.
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

Stock sheets
------------
- ``sheets``: all flat pieces laid on the sheets one has; the front door.
- ``sheet_layout``: the records of pieces on sheets, of offcuts, of what found no room.
- ``sheet_cells``: shapes as cells of a fine grid, one long whole number each.
- ``sheet_places``: where a shape fits among those that lie already.
- ``sheet_search``: orders in which shapes are laid, bettered step by step.
- ``sheet_locked``: pieces the maker has given a place on a sheet.
- ``sheet_offcuts``: the largest rectangles that are left.
- ``sheet_order``: the order in which the pieces of a sheet are cut out.
- ``sheet_proof``: the layout proved by exact geometry.
- ``sheet_rules``: what is said about pieces and sheets.
- ``sheet_strip``: the shortest strip that holds given shapes.
- ``sheet_squeeze``: the same by an outside library, for as long as one waits.
- ``sheet_tightened``: every sheet of a layout squeezed so.
"""
