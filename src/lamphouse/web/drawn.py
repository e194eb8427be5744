"""Drawings of the pack put into a page: the same lines, in inks that follow the page's light."""

import re

from markupsafe import Markup

_GROUP = re.compile(r'<g id="([a-z]+)" fill="none" stroke="(#[0-9a-f]{6})"')
_FILLED = re.compile(r'fill="#[0-9a-f]{6}" stroke="none"')
_HEAD = re.compile(r"^<\?xml[^>]*\?>\s*")


def inline(svg: str, *, role: str = "img") -> Markup:
    """Turn a drawing's document into markup for a page.

    A pen's ink becomes the colour of its group, which a style sheet can change; names of groups
    become classes, as a page holds many drawings. Nothing else changes, and what stands in the
    drawing as text is escaped in it already.

    Parameters
    ----------
    svg
        As :func:`lamphouse.outputs.svg.render` writes it.
    role
        What a screen reader takes it for: ``img``, or ``group`` where things in it can be used.
    """
    body = _HEAD.sub("", svg)
    body = body.replace("<svg ", f'<svg role="{role}" ', 1)
    body = _GROUP.sub(r'<g class="pen pen-\1" color="\2" fill="none" stroke="currentColor"', body)
    return Markup(_FILLED.sub('fill="currentColor" stroke="none"', body))
