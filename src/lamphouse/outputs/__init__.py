"""Bytes for people and machines: drawings, pages, tables, the plan, and the pack of them all.

- ``svg``: a drawing as SVG.
- ``dxf``: a drawing as DXF for cutters.
- ``fonts``: the one font everything is set in.
- ``typst``: the sheets' layout for the typesetter.
- ``pdf``: pages and text set as one PDF.
- ``cautions``: which warnings a design calls for.
- ``contents``: what stands on each page of the pack.
- ``tables``: the plan's lists as CSV.
- ``planfile``: the plan as JSON, and the schema of it.
- ``pack``: all files of a build pack, and writing them.
"""
