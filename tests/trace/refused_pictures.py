"""For every code of tracing a small picture, or what else trips it; each is traced for real."""

import struct
from functools import cache

import cv2
import numpy as np
from part_pictures import Plate, Scan, SheetPhoto, Sketch, Spoil, mirrored, packed

from lamphouse.catalogue.drills import standard_drills
from lamphouse.drawings import marker_card
from lamphouse.record import replace
from lamphouse.shapes.outline import rectangle
from lamphouse.trace import (
    against,
    frame_card,
    merged,
    paper_sheet,
    part_sight,
    picture_file,
    references,
    scales,
    traced,
)
from lamphouse.trace.camera import Camera
from lamphouse.trace.refused import TraceError

PLATE = Plate(holes=((5.0, 5.0, 1.0), (20.0, 6.0, 1.0), (28.0, 6.0, 2.0), (8.0, 16.0, 6.0)))
SCAN = Scan(plate=PLATE, dpi=200.0)
DPI = scales.from_dpi(200.0, tagged=None)


def load(pixels):
    return picture_file.load(packed(pixels, kind=".png"))


def flat(pixels, **options):
    told = {"finest_hole_mm": 0.8, **options}
    return traced.trace(load(pixels), scale=DPI, **told)


def disc(*, part=200, ground=40, at=(200, 200), across=160, size=400):
    pixels = np.full((size, size), ground, np.uint8)
    cv2.circle(pixels, at, across // 2, part, -1)
    return cv2.GaussianBlur(pixels, (0, 0), 1.0)


def with_pixel_count(side):
    data = bytearray(packed(disc(), kind=".png"))
    data[16:24] = struct.pack(">II", side, side)
    return bytes(data)


def card_picture(*, margin=40):
    card = np.array(marker_card.modules())[::-1]
    pixels = np.where(np.kron(card, np.ones((8, 8))), 30, 220).astype(np.uint8)
    return np.pad(pixels, margin, constant_values=220)


def aslant(*, height_mm=3.0, tilt_deg=30.0):
    """Give a camera 200 mm away, tilted, that sees a place at 10 pixels a mm."""
    tilt = np.radians(tilt_deg)
    about_x = np.array(
        ((1, 0, 0), (0, np.cos(tilt), -np.sin(tilt)), (0, np.sin(tilt), np.cos(tilt)))
    )
    turn = about_x @ np.diag((1.0, -1.0, -1.0))
    place = np.array((0.0, 0.0, 200.0)) - turn @ (20.0, 20.0, 0.0)
    values = (2000.0, 199.5, 199.5, 0.0, *cv2.Rodrigues(turn)[0].ravel(), *place)
    return Camera(
        words="",
        share=0.0,
        offset_mm=0.0,
        pixel_mm=0.1,
        values=tuple(map(float, values)),
        height_mm=height_mm,
    )


def views(*, moved_mm=0.0, holes=(1, 1)):
    """Give two sights of one disc, one of them moved, with or without its hole."""
    pixels = disc()
    cv2.circle(pixels, (200, 200), 20, 40, -1)
    one = part_sight.look(load(pixels), scale=DPI, finest_hole_mm=0.8)
    moved = replace(one.outer, points_mm=one.outer.points_mm + np.array((moved_mm, 0.0)))
    some = [replace(one, holes=one.holes[:count]) for count in holes]
    return merged.merge([some[0], replace(some[1], outer=moved)], names=("a.jpg", "b.jpg"))


def small_hole():
    """A hole of a fifth of the contrast in a plate seen at a slant: its wall alone."""
    pixels = disc(across=300)
    cv2.circle(pixels, (170, 210), 4, 150, -1)
    picture = load(cv2.GaussianBlur(pixels, (0, 0), 0.7))
    return traced.trace(picture, scale=aslant(), finest_hole_mm=0.5)


def two_discs(*, second):
    pixels = disc(at=(130, 130), across=180)
    cv2.circle(pixels, (300, 300), second // 2, 200, -1)
    return flat(cv2.GaussianBlur(pixels, (0, 0), 1.0))


@cache
def sheet(**options):
    shot = SheetPhoto(plate=PLATE, size=(1000, 750), tilt_deg=10.0, **options)
    return picture_file.load(packed(shot.pixels(samples=1)))


def slanted_sheet():
    """Four corners of a sheet at a slant, by a camera that tells no focal length."""
    pixels = np.full((750, 1000), 60, np.uint8)
    cv2.fillConvexPoly(pixels, np.array(((330, 120), (670, 120), (780, 640), (220, 640))), 220)
    return load(cv2.GaussianBlur(pixels, (0, 0), 1.0))


def weak_edge(depth):
    return flat(mirrored(replace(SCAN, spoil=Spoil(ground=0.12)), depth=depth, size_mm=4.0))


def faint_side():
    sharp = disc(across=240).astype(np.float32)
    down, right = np.mgrid[:400, :400]
    angle = np.arctan2(down - 200, right - 200)
    soft = cv2.GaussianBlur(sharp, (0, 0), 14.0)
    pixels = np.where(np.abs(angle) < 0.4, soft, sharp)
    return flat(pixels.astype(np.uint8), tolerance_mm=0.2)


def on_glass(picture):
    return traced.trace(picture, scale=DPI, finest_hole_mm=0.8)


def lighter_and_darker():
    pixels = disc(ground=120, part=220, at=(120, 200), across=140)
    cv2.circle(pixels, (290, 200), 66, 20, -1)
    return flat(pixels)


def clear_picture():
    pixels = cv2.cvtColor(disc(), cv2.COLOR_GRAY2BGRA)
    return on_glass(picture_file.load(packed(pixels, kind=".png")))


PICTURES = {
    "TRC001": lambda: picture_file.load(b"%PDF-1.7" + bytes(100)),
    "TRC002": lambda: picture_file.load(with_pixel_count(200_000)),
    "TRC003": lambda: picture_file.load(packed(disc()[:20, :20], kind=".png")),
    "TRC004": lambda: flat(disc(part=30, ground=5)),
    "TRC005": lambda: flat(disc(part=60, ground=255)),
    "TRC006": clear_picture,
    "TRC010": lambda: frame_card.find_card(load(disc()), printed_mm=None),
    "TRC011": lambda: frame_card.find_card(load(card_picture()), printed_mm=(150.0, 150.0)),
    "TRC012": lambda: scales.from_dpi(600, tagged=(300.0, 300.0)),
    "TRC013": lambda: scales.from_two_points((0.0, 0.0), second=(50.0, 0.0), apart_mm=5.0),
    "TRC014": lambda: frame_card.find_card(load(card_picture()), printed_mm=None),
    "TRC015": lambda: paper_sheet.find_sheet(sheet(bow_mm=3.0), size="A4"),
    "TRC016": lambda: references.lent(
        references.Scaled(scale=DPI, inside=None, residual_mm=0.0),
        picture=load(disc()),
        lender=load(disc(size=420)),
    ),
    "TRC017": lambda: views(moved_mm=0.4),
    "TRC018": lambda: paper_sheet.find_sheet(slanted_sheet(), size=paper_sheet.EITHER),
    "TRC020": lambda: flat(disc(part=60, ground=50)),
    "TRC021": lighter_and_darker,
    "TRC022": lambda: flat(disc(at=(40, 200))),
    "TRC023": lambda: flat(disc(), finest_hole_mm=0.3),
    "TRC024": lambda: flat(disc(across=12), finest_hole_mm=2.4),
    "TRC025": lambda: two_discs(second=160),
    "TRC026": lambda: two_discs(second=60),
    "TRC027": lambda: weak_edge(1.0),
    "TRC028": faint_side,
    "TRC029": lambda: traced.trace(load(disc()), scale=aslant(), finest_hole_mm=0.5),
    "TRC030": lambda: traced.trace(
        load(disc(part=40, ground=200)), scale=aslant(), finest_hole_mm=0.5
    ),
    "TRC031": lambda: traced.trace(
        picture_file.load(packed(Scan().pixels())),
        scale=replace(scales.from_dpi(600, tagged=None), share=0.06),
        drills=standard_drills(),
    ),
    "TRC032": lambda: views(holes=(1, 0)),
    "TRC033": small_hole,
    "TRC034": lambda: flat(Sketch(plate=PLATE, gap_mm=6.0).pixels(), is_sketch=True),
    "TRC035": lambda: flat(crossed_out(), is_sketch=True),
    "TRC036": lambda: against.compare(
        flat(SCAN.pixels()), outline=rectangle(10, height_mm=10), holes=()
    ),
    "TRC037": lambda: flat(cv2.bitwise_not(ring(wide=60)), is_sketch=True),
    "TRC038": lambda: flat(ring(wide=6)),
}
"""What trips each code, by code; it gives what was made, or raises."""


def ring(*, wide):
    pixels = np.full((400, 400), 40, np.uint8)
    cv2.circle(pixels, (200, 200), 150, 200, wide)
    return cv2.GaussianBlur(pixels, (0, 0), 1.0)


def crossed_out():
    pixels = Sketch(plate=PLATE).pixels().copy()
    middle = pixels.shape[0] // 2
    cv2.line(pixels, (middle - 40, middle + 60), (middle + 60, middle + 70), 40, 5)
    return cv2.GaussianBlur(pixels, (0, 0), 0.8)


def codes_of(code):
    """Trace the picture of a code; give the codes of what was told or refused."""
    try:
        made = PICTURES[code]()
    except TraceError as fault:
        return {fault.finding.code}
    return {one.code for one in made.findings}
