"""Results as lines and text in mm; knows no file format.

- ``drawing``: the records every drawing is made of.
- ``page``: paper sizes, frame, check rulers, title block, and tiling with overlap.
- ``face``: a panel seen from the front and, mirrored, from the back, with its datum edge and drill chart.
- ``box``: the flat pieces of a light box.
- ``wiring``: the strings of a sub-assembly, drawn to be followed with a finger.
"""
