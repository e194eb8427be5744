"""One module for each view of the page.

- ``view``: what a view is.
- ``bench``: the phone at the bench: flags, next steps, readings, faults, the log.
- ``table``: the sub-assemblies as they stand on the floor plan, with their state.
"""

from lamphouse.web.views import bench, table
from lamphouse.web.views.view import View

VIEWS: tuple[View, ...] = (table.VIEW, bench.VIEW)
"""In the order of the title block."""


def view_named(key: str) -> View | None:
    """Find a view by the word in its address."""
    return next((view for view in VIEWS if view.key == key), None)
