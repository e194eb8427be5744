"""One module for each view of the page.

- ``view``: what a view is.
- ``table``: the sub-assemblies as they stand on the floor plan, with their state.
"""

from lamphouse.web.views import table
from lamphouse.web.views.view import View

VIEWS: tuple[View, ...] = (table.VIEW,)
"""In the order of the title block."""


def view_named(key: str) -> View | None:
    """Find a view by the word in its address."""
    return next((view for view in VIEWS if view.key == key), None)
