"""The flat pieces, their holes, and the drill chart.

- ``piece``: the records of a flat piece, its drilled holes and the seats marked on it.
- ``template``: panels as pieces with openings and numbered holes.
- ``walls``: the pieces of a light box, with the sheet's thickness taken off at butt joints.
- ``curve``: laminated curved panels, each layer its own length and its own hole places.
- ``drill``: which drill makes a hole, and the chart of a panel's holes.
"""
