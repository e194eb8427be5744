"""The card that photographs of parts are scaled by, as a PDF to be printed."""

from lamphouse.drawings.marker_card import HEIGHT_MM, WIDTH_MM, measured_card
from lamphouse.drawings.page import Labelled, lay_out
from lamphouse.drawings.paper import upright
from lamphouse.drawings.title import TitleBlock
from lamphouse.outputs.pdf import set_pages
from lamphouse.outputs.svg import render

FACE = f"{WIDTH_MM:g} x {HEIGHT_MM:g} mm frame"


def card_label() -> Labelled:
    """Give the card as a drawing for a page."""
    return Labelled(drawing=measured_card(), part="Trace card", face=FACE)


def card_sheet(*, paper: str) -> bytes:
    """Set the card on a sheet of paper.

    Parameters
    ----------
    paper
        A key of ``paper.SIZES_MM`` that the card fits.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    title = TitleBlock(project="Trace card", revision="", day="", model_scale="")
    (page,) = lay_out((card_label(),), paper=paper, title=title)
    size = upright(paper)
    drawn = {
        "kind": "drawn",
        "mark": "card",
        "name": page.name,
        "width": page.drawing.width_mm,
        "height": page.drawing.height_mm,
        "ground": page.ground.name,
        "svg": render(page.own),
        "number": None,
    }
    document = {
        "project": "Trace card",
        "title": "For photographs of parts",
        "scale": "",
        "revision": "",
        "day": "",
        "paper": {"width": size.width_mm, "height": size.height_mm},
        "grounds": {page.ground.name: render(page.ground)},
        "pages": [drawn],
    }
    return set_pages(document, day=None)
