"""The pictures of a glow as files: panels as PNG, grey and in colour, maps and sections as SVG."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import lamphouse
from lamphouse.design.panel import Panel
from lamphouse.light.box_glow import BoxGlow
from lamphouse.outputs.glow_views import PanelView, maps_of, panel_views, section_of
from lamphouse.outputs.panel_colours import colour_sheet, light_of_panel, prints_of
from lamphouse.outputs.records import to_text
from lamphouse.outputs.svg import render
from lamphouse.plan.artworked import ArtworkStudy, studies
from lamphouse.plan.pictured import Pictured
from lamphouse.plan.result import Plan
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.folder import LISTING, listing_of, replace_folder
from lamphouse.storage.refusal import StorageError

PACK = "pack.pdf"
"""What every build pack holds."""
VERSION = 1
"""Version of the folder's layout."""


def build(plan: Plan, *, glows: Sequence[BoxGlow]) -> dict[str, bytes]:
    """Make the pictures of some boxes and of the panels before them. Nothing is written.

    Returns
    -------
    dict of str to bytes
        Content by name, with a listing; the same bytes for the same plan.
    """
    files: dict[str, bytes] = {}
    prints = studies(plan.design, glows=glows)
    for view in panel_views(plan, glows=glows):
        colours = in_colour(plan, panel=view.panel, lit=view.lit, prints=prints)
        for name, ending, data in (*_pictures(plan, view), *colours):
            taken = [known.rpartition(".")[0] for known in files]
            files[f"{safe_name(name, taken=taken)}.{ending}"] = data
    listing = {
        "lamphouse_glow": VERSION,
        "program": f"lamphouse {lamphouse.__version__}",
        "project": plan.design.name,
        "files": listing_of(files),
    }
    return {**files, LISTING: to_text(listing).encode()}


def in_colour(
    plan: Plan, *, panel: Panel, lit: Sequence[Pictured], prints: Sequence[ArtworkStudy]
) -> Iterator[tuple[str, str, bytes]]:
    """Picture a panel in colour: for a common screen, and for a wide-gamut one.

    Returns
    -------
    Iterator of tuple
        Name, ending and content.
    """
    sub_assembly = lit[0].glow.sub_assembly
    here = prints_of(prints, sub_assembly=sub_assembly, panel=panel.name)
    room = plan.design.room
    light = light_of_panel(panel, lit=lit, prints=here, room=room)
    for is_wide, what in ((False, "in colour"), (True, "in wide colour")):
        data = colour_sheet(light, title=panel.name, room=room, is_wide=is_wide)
        yield f"{sub_assembly} / {panel.name} / {what}", "png", data


def write(files: Mapping[str, bytes], *, folder: Path) -> None:
    """Write the pictures into a folder of their own, all of them or none.

    Raises
    ------
    StorageError
        When the disk refuses, or the folder holds a build pack or anything not made here.
    """
    if (folder / PACK).exists():
        what = f"this folder holds a build pack ('{PACK}'), which pictures would replace"
        raise StorageError(folder, what=what, remedy="choose another folder")
    replace_folder(folder, files)


def _pictures(plan: Plan, view: PanelView) -> list[tuple[str, str, bytes]]:
    face = f"{view.sub_assembly} / {view.panel.name}"
    made = [(f"{face} / in the dark", "png", view.in_dark.png)]
    if view.in_room:
        made.append((f"{face} / at {view.in_room.room_lx:g} lx", "png", view.in_room.png))
    for box in view.lit:
        drawings = [*maps_of(box), section_of(plan, box, panel=view.panel)]
        made += [
            (f"{face} / {drawing.name}", "svg", render(drawing, alone=True).encode())
            for drawing in drawings
        ]
    return made
