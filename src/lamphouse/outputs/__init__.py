"""Bytes for people and machines: drawings, pages, lists, the plan, and the pack of them all.

- ``svg``: a drawing as SVG.
- ``png``: a grey picture as PNG.
- ``coverage``: how much of each pixel a shape covers.
- ``dxf``: a drawing as DXF for cutters.
- ``fonts``: the one font everything is set in.
- ``typst``: the sheets' layout for the typesetter (no Python).
- ``pdf``: pages and text set as one PDF.
- ``cautions``: which warnings a design calls for.
- ``front_sheets``: cover, findings and cautions as data for the typesetter.
- ``bench_sheets``: a sub-assembly's sheets and the parts list as data for the typesetter.
- ``glow_picture``: a panel as the eye sees it.
- ``glow_views``: every picture, map and section of a glow.
- ``glow_lines``: the figures of every lit opening as records.
- ``glow_sheets``: a sub-assembly's glow sheet as data for the typesetter.
- ``leak_sheets``: a sub-assembly's dark-room test card as data for the typesetter.
- ``glow_files``: the pictures of a glow as files.
- ``contents``: what stands on each page of the pack, with the page numbers.
- ``lists``: the plan's lists as CSV.
- ``records``: frozen records as JSON values, and the schema of them.
- ``planfile``: the plan as JSON, and the schema of it.
- ``balance_lines``: the answer of ``balance`` as records.
- ``suggest_lines``: the answer of ``suggest`` as records.
- ``card_sheet``: the card that photographs of parts are scaled by, as a PDF.
- ``trace_lines``: the answer of ``trace`` as records.
- ``answer``: the JSON answers of every command.
- ``pack``: all files of a build pack, and writing them.
"""
