"""Pieces, stock and reference strips for the tests of stock sheets."""

import csv
import json
from pathlib import Path

from cutting.samples import shape, sheet, where
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_strip import StripShape
from lamphouse.design.whole import SheetInHand
from lamphouse.shapes.outline import polygon, rectangle

STRIPS = Path(__file__).parents[1] / "reference" / "strips"
"""[ESICUP]."""


def best_lengths():
    with (STRIPS / "best_lengths.csv").open(encoding="utf-8") as file:
        return {row["instance"]: row for row in csv.DictReader(file)}


def strip(name):
    """Give the height of a reference strip and its shapes."""
    read = json.loads((STRIPS / f"{name}.json").read_text(encoding="utf-8"))
    shapes = [
        StripShape(
            outline=polygon(item["shape"]["data"][:-1]),
            count=item["demand"],
            turns_deg=tuple(item["allowed_orientations"]),
        )
        for item in read["items"]
    ]
    return read["strip_height"], shapes


def piece(name, corners, *, cutouts=(), thickness_mm=1.0, **more):
    return Piece(
        name=name,
        where=where(name),
        sub_assembly="sample",
        sheet=sheet(thickness_mm),
        outline=shape(corners),
        cutouts=tuple(shape(cutout) for cutout in cutouts),
        cutout_names=tuple("hole" for _ in cutouts),
        **more,
    )


def plate(name, width, height, **more):
    return piece(name, rectangle(width, height_mm=height), **more)


def in_hand(width, height, *, count=1, thickness_mm=1.0):
    return SheetInHand(
        where=where("stock / 1"),
        sheet=sheet(thickness_mm),
        width_mm=width,
        height_mm=height,
        count=count,
    )
