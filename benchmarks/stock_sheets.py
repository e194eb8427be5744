"""Measures the placer: strips against the best lengths known, and a model's worth of pieces.

Usage: ``python benchmarks/stock_sheets.py [seconds]``. With a number of seconds, strips are also
squeezed for as long by the library of the extra ``squeeze``. Every layout is proved. Times stand in
seconds of process time and in times of a fixed reckoning with long whole numbers, run beside it.
"""

import csv
import json
import sys
import time
from pathlib import Path

import numpy as np

from lamphouse.catalogue.shelf import built_in
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_proof import prove_strip
from lamphouse.cutting.sheet_squeeze import squeeze_strip
from lamphouse.cutting.sheet_strip import StripShape, lay_strip
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import replace
from lamphouse.shapes.outline import circle, polygon, rectangle

STRIPS = Path(__file__).parents[1] / "tests" / "reference" / "strips"
TRIES, LIMIT, LIMIT_S = 1500, 1.25, 10.0
SQUEEZE_LIMIT = 1.08
PIECES, PIECES_LIMIT_S = 60, 1.0


def reference_s() -> float:
    """Time a reckoning of the same kind: shifts and ORs of long numbers."""
    begin = time.process_time()
    bits = (1 << 240_000) - 1
    for step in range(5000):
        bits |= bits >> step % 64
    return time.process_time() - begin


def strips(squeeze_for_s: int) -> None:
    """Lay every reference strip."""
    best = csv.DictReader((STRIPS / "best_lengths.csv").open(encoding="utf-8"))
    for row in best:
        name = row["instance"]
        read = json.loads((STRIPS / f"{name}.json").read_text(encoding="utf-8"))
        shapes = [
            StripShape(
                outline=polygon(item["shape"]["data"][:-1]),
                count=item["demand"],
                turns_deg=tuple(item["allowed_orientations"]),
            )
            for item in read["items"]
        ]
        plain_s = reference_s()
        begin = time.process_time()
        found = lay_strip(shapes, height_mm=read["strip_height"], tries=TRIES, seed=1)
        own_s = time.process_time() - begin
        prove_strip(found, shapes=shapes)
        best_mm = float(row["best_length"])
        used = float(row["area"]) / found.height_mm / found.length_mm
        print(
            f"{name:<8} {found.length_mm / best_mm:6.3f} of the best (wanted {LIMIT:g}) "
            f"{used:4.0%} used {own_s:6.2f} s (wanted {LIMIT_S:g}) ratio {own_s / plain_s:6.1f}"
        )
        if squeeze_for_s:
            tight = squeeze_strip(
                shapes, height_mm=read["strip_height"], seconds=squeeze_for_s, seed=1
            )
            print(
                f"{'':<8} {tight.length_mm / best_mm:6.3f} squeezed for {squeeze_for_s} s "
                f"(wanted {SQUEEZE_LIMIT:g})"
            )


def model() -> None:
    """Lay the pieces of a middling model: plates, frames, discs, walls."""
    chance = np.random.default_rng(1)
    names = ("styrene 1.0 mm", "styrene 0.75 mm", "styrene 0.5 mm")
    made = []
    for number in range(PIECES):
        wide, high = (round(float(side), 1) for side in chance.uniform(8, 90, 2))
        middle = {"x_mm": wide / 2, "y_mm": high / 2}
        corners = rectangle(wide, height_mm=high, **middle)
        if number % 5 == 4:
            corners = circle(wide, **middle)
        cutouts = (rectangle(wide * 0.6, height_mm=high * 0.5, **middle),) * (number % 4 == 1)
        made.append(
            Piece(
                name=f"piece {number}",
                where=Where(item=f"piece {number}"),
                sub_assembly="model",
                sheet=built_in().sheet_stock[names[number % 3 if number % 2 else 0]],
                outline=Outline(corners=corners, words=""),
                cutouts=tuple(Outline(corners=cutout, words="") for cutout in cutouts),
            )
        )
    alike = [replace(piece, sheet=made[0].sheet) for piece in made]
    for words, pieces in (("of three thicknesses", made), ("of one", alike)):
        plain_s = reference_s()
        begin = time.process_time()
        found = lay_on_sheets(pieces, in_hand=(), habits=CuttingHabits(), seed=1)
        own_s = time.process_time() - begin
        shares = ", ".join(f"{sheet.used_share:.0%}" for sheet in found.sheets)
        print(
            f"{PIECES} pieces {words}, proof included: {own_s:5.2f} s "
            f"(wanted {PIECES_LIMIT_S:g}) ratio {own_s / plain_s:6.1f}; used {shares}"
        )


if __name__ == "__main__":
    model()
    strips(int(sys.argv[1]) if len(sys.argv) > 1 else 0)
