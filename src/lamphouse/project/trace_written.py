"""A traced outline and its holes written into a panel of the maker's file."""

from collections.abc import Sequence
from math import ceil

from lamphouse.design.panel import Traced
from lamphouse.project.outlines import written_mm, written_points
from lamphouse.project.remark import remarked
from lamphouse.project.splice import Value
from lamphouse.project.tree import Keyed, Path, Tree
from lamphouse.project.write import ChangeError, add_item, remove_item, set_value, sound_tree
from lamphouse.record import Record
from lamphouse.shapes import measure
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.transform import move

TRACE_MARK = "# traced:"
"""What the line above a traced outline begins with; a newer one takes its place."""
HOLE_NAME = "traced"
"""Openings of this name with a number come and go with the tracing."""
_STEP_MM = 0.001
"""To this the uncertainty is rounded up."""


class TracedHole(Record):
    """A hole to be written as an opening."""

    corners: Corners
    """In the panel plane."""
    diameter_mm: float | None
    """When it is round."""


def written_trace(
    text: str,
    *,
    panel: str,
    outline: Corners,
    holes: Sequence[TracedHole],
    traced: Traced,
    source: str,
) -> str:
    """Give the text of a project with a traced outline in a panel.

    Parameters
    ----------
    text
        The whole file.
    panel
        ``sub-assembly / panel``, or the panel's name where only one has it.
    outline
        Anticlockwise, the datum corner at 0, 0.
    holes
        Written as openings ``traced 1``, ``traced 2`` and so on; those of an older tracing go.
    traced
        The picture, and how certain any place is; rounded up it stands under ``traced``.
    source
        From which picture, how certain, by which rule; it stands as a comment above the outline.

    Raises
    ------
    ChangeError
        If the text is no sound project file, no panel has this name, or the panel is bent.
    """
    place = _panel(sound_tree(text), panel)
    if sound_tree(text).find((*place, "curve")) is not None:
        bent = f"panel '{panel}' is bent, and its outline follows from its curve"
        raise ChangeError(bent)
    within = f"{ceil(traced.within_mm / _STEP_MM - 1e-9) * _STEP_MM:.3g} mm"
    origin: dict[str, Value] = {"picture": traced.picture, "within": within}
    if traced.nudged_mm > 0.0:
        origin["nudged"] = written_mm(traced.nudged_mm)
    text = _put(text, (*place, "traced"), origin)
    text = _put(text, (*place, "outline"), {"points": written_points(outline)})
    text = remarked(text, at=(*place, "outline"), mark=TRACE_MARK, words=source)
    return _with_holes(text, openings=(*place, "openings"), holes=holes)


def written_opening(
    text: str,
    *,
    panel: str,
    opening: str,
    outline: Corners,
    at_mm: tuple[float, float],
    source: str,
) -> str:
    """Give the text of a project with a traced outline as the shape of an opening.

    Parameters
    ----------
    text
        The whole file.
    panel
        As for :func:`written_trace`.
    opening
        Its name. One of this name gets the shape and keeps its place and all else; otherwise it
        comes anew.
    outline
        Anticlockwise; only its shape counts.
    at_mm
        Where the middle of a new opening lies on the panel: right, up.
    source
        As for :func:`written_trace`; it stands as a comment above the opening.

    Raises
    ------
    ChangeError
        If the text is no sound project file, no panel has this name, or the name is no name.
    """
    place = _panel(sound_tree(text), panel)
    x, y = measure.centroid_mm(outline)
    shape: Value = {"points": written_points(move(outline, x_mm=-x, y_mm=-y))}
    openings = (*place, "openings")
    if sound_tree(text).find((*openings, opening)) is not None:
        text = _put(text, (*openings, opening, "shape"), shape)
        return remarked(text, at=(*openings, opening), mark=TRACE_MARK, words=source)
    if not opening.strip():
        nameless = "an opening needs a name"
        raise ChangeError(nameless)
    if sound_tree(text).find(openings) is None:
        text = add_item(text, place, {}, key="openings")
    fields: dict[str, Value] = {"shape": shape, "at": [written_mm(one) for one in at_mm]}
    text = add_item(text, openings, fields, key=opening)
    return remarked(text, at=(*openings, opening), mark=TRACE_MARK, words=source)


def source_words(
    names: str,
    *,
    day: str,
    scale: str,
    edge_rule: str,
    within_mm: float,
    rms_mm: float,
    nudged: str = "",
) -> str:
    """Say where a traced outline comes from and how certain it is, for the line above it."""
    words = (
        f"{names}{f', {day}' if day else ''}; {scale}; edge at {edge_rule}; "
        f"any place within {within_mm:.2f} mm, lines and arcs {rms_mm:.3f} mm rms off the edge"
    )
    return f"{words}; {nudged}" if nudged else words


def _panel(tree: Tree, name: str) -> Path:
    """Find the one panel of a name.

    Raises
    ------
    ChangeError
        If there is none, or more than one.
    """
    subs = tree.find(("sub_assemblies",))
    there: dict[str, Path] = {}
    for sub in subs.entries if isinstance(subs, Keyed) else ():
        panels = tree.find(("sub_assemblies", sub, "panels"))
        for panel in panels.entries if isinstance(panels, Keyed) else ():
            there[f"{sub} / {panel}"] = ("sub_assemblies", sub, "panels", panel)
    words = [word.strip() for word in name.split("/")]
    fits = [path for path in there.values() if words in ([path[1], path[3]], [path[3]])]
    if len(fits) == 1:
        return fits[0]
    many = "more than one panel has" if fits else "no panel has"
    lost = f"{many} the name '{name}'; there are: {', '.join(there) or 'none'}"
    raise ChangeError(lost)


def _put(text: str, path: Path, value: Value) -> str:
    """Set the value of a key, or add the key."""
    if sound_tree(text).find(path) is None:
        return add_item(text, path[:-1], value, key=str(path[-1]))
    return set_value(text, path, value)


def _with_holes(text: str, *, openings: Path, holes: Sequence[TracedHole]) -> str:
    node = sound_tree(text).find(openings)
    for key in node.entries if isinstance(node, Keyed) else ():
        first, _, digits = key.rpartition(" ")
        if first == HOLE_NAME and digits.isdigit():
            text = remove_item(text, (*openings, key))
    if holes and sound_tree(text).find(openings) is None:
        text = add_item(text, openings[:-1], {}, key="openings")
    for number, hole in enumerate(holes, start=1):
        x, y = measure.centroid_mm(hole.corners)
        shape: Value
        if hole.diameter_mm is not None:
            shape = f"round {written_mm(hole.diameter_mm)}"
        else:
            shape = {"points": written_points(move(hole.corners, x_mm=-x, y_mm=-y))}
        fields: dict[str, Value] = {"shape": shape, "at": [written_mm(x), written_mm(y)]}
        text = add_item(text, openings, fields, key=f"{HOLE_NAME} {number}")
    return text
