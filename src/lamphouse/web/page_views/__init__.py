"""One module for each view of the page.

- ``view``: what a view is.
- ``named``: items found by the names in addresses.
- ``answers``: the JSON answers of the command line.
- ``drawn_pages``: pages of the pack one by one.
- ``long_work``: packs, second opinions, proofs, values tried in turn.
- ``bench``: the phone at the bench: flags, next steps, readings, faults, the log.
- ``table_view``: the sub-assemblies as they stand on the floor plan, with their state.
- ``circuit_view``: a sub-assembly's circuit, its board, pins and readings; the loom.
- ``blink_view``: what blinks: time line, player, patterns, scenes, program.
- ``parts_view``: the parts list, and every list as a file.
- ``asked_light``: room light and size of a picture as an address asks for them.
- ``sheets_view``: stock sheets with every piece, templates and cutter files.
- ``steps_view``: the order of work, evening by evening; ticks, readings, wishes.
- ``squeezing``: the long squeeze of stock sheets.
- ``trace_view``: outlines from pictures: pictures taken in, traced and judged.
- ``trace_asked``: what the page asks of a tracing.
- ``trace_work``: the long work of tracing, and what came of it.
- ``trace_kept``: what was moved by hand, kept until it is taken.
- ``trace_nudge``: places moved by hand, drills chosen, a traced part taken into a panel.
- ``panel_view``: one panel at scale, drawn and edited, with its glow beside it.
- ``panel_live``: the glow that follows the pointer.
- ``panel_commands``: what is done to a panel, as changes of the file.
- ``panel_suggest``: ways to light a box, found, compared and applied.
"""

from lamphouse.web.page_views import (
    bench,
    blink_view,
    circuit_view,
    panel_view,
    parts_view,
    sheets_view,
    steps_view,
    table_view,
    trace_view,
)
from lamphouse.web.page_views.view import View

VIEWS: tuple[View, ...] = (
    table_view.VIEW,
    panel_view.VIEW,
    trace_view.VIEW,
    circuit_view.VIEW,
    blink_view.VIEW,
    sheets_view.VIEW,
    steps_view.VIEW,
    parts_view.VIEW,
    bench.VIEW,
)
"""In the order of the title block."""


def view_named(key: str) -> View | None:
    """Find a view by the word in its address."""
    return next((view for view in VIEWS if view.key == key), None)
