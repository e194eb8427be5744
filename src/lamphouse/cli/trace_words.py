"""The answer of trace as lines for a terminal."""

from collections.abc import Iterator, Mapping
from typing import Any

from lamphouse.cli import screen


def told(result: Mapping[str, Any]) -> Iterator[str]:
    """Show the part in figures, its holes as a table, and where to look."""
    fit, outline = result["fit"], result["outline"]
    arcs = sum(corner["bulge"] != 0.0 for corner in outline)
    names = ", ".join(result["pictures"])
    yield f"{names}: {result['scale']}; a pixel is {result['pixel_mm']:.3f} mm"
    yield (
        f"part {result['width_mm']:.2f} x {result['height_mm']:.2f} mm, "
        f"{result['part_is']} than the ground: "
        f"{len(outline) - arcs} lines, {arcs} arcs, {len(result['holes'])} holes"
    )
    yield f"edge: {result['edge_rule']}; turned by {result['turned_deg']:.2f} deg to lie level"
    yield (
        f"lines and arcs off the edge: {fit['rms_mm']:.3f} mm rms, 95 % within "
        f"{fit['p95_mm']:.3f} mm, at most {fit['max_mm']:.3f} mm"
    )
    yield f"any place on the outline is known within {result['uncertain_mm']:.2f} mm"
    if result["holes"]:
        yield ""
        head = ("hole", "right mm", "up mm", "measured mm", "drill")
        yield screen.table(head, map(_hole_row, enumerate(result["holes"], start=1)))
    if result["against"]:
        yield from _compared(result["against"])
    yield ""
    yield f"judge it by eye: {result['overlay']}"
    if result["written_into"]:
        yield f"wrote it into panel {result['written_into']}; next: lamphouse check"
    else:
        yield "write it into a panel: --project PROJECT --into PANEL"


def _hole_row(numbered: tuple[int, Mapping[str, Any]]) -> tuple[str, ...]:
    number, hole = numbered
    measured = (
        f"{hole['measured_mm']:.3f} +/- {hole['uncertain_mm']:.3f}"
        if hole["is_round"]
        else "not round"
    )
    return (
        str(number),
        f"{hole['x_mm']:.2f}",
        f"{hole['y_mm']:.2f}",
        measured,
        hole["drill"] or " or ".join(hole["near"]) or "-",
    )


def _compared(against: Mapping[str, Any]) -> Iterator[str]:
    """Show how far a part is from its panel."""
    edge = against["edge"]
    yield ""
    yield (
        f"against panel {against['panel']}: {edge['rms_mm']:.3f} mm rms, 95 % within "
        f"{edge['p95_mm']:.3f} mm, at most {edge['max_mm']:.3f} mm "
        f"at {against['worst_x_mm']:.1f}, {against['worst_y_mm']:.1f} mm; map: {against['map']}"
    )
    if against["holes"]:
        head = ("opening right mm", "up mm", "off right mm", "off up mm", "larger by mm")
        yield screen.table(head, map(_off_row, against["holes"]))
    yield f"openings missing: {against['missing']}, holes too many: {against['extra']}"


def _off_row(hole: Mapping[str, Any]) -> tuple[str, ...]:
    larger = hole["larger_mm"]
    return (
        f"{hole['x_mm']:.2f}",
        f"{hole['y_mm']:.2f}",
        f"{hole['right_mm']:+.3f}",
        f"{hole['up_mm']:+.3f}",
        "-" if larger is None else f"{larger:+.3f}",
    )
