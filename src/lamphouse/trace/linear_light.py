"""Photographs as light: the camera's curve undone, what it could not hold masked, exposures merged.

Terminology
-----------
light
    Relative luminance; 1 is what the first picture could just hold, by the curve of sRGB [SRGB].
held
    Places that some picture tells: no channel overexposed there.
exposure
    Time times ISO speed over the square of the f-number, as the camera wrote them [EXIF].
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.display import decode
from lamphouse.findings import Finding
from lamphouse.record import Record
from lamphouse.trace import lit_rules, picture_rules, scale_rules
from lamphouse.trace.picture_file import turned, unpacked
from lamphouse.trace.picture_header import Header
from lamphouse.trace.refused import TraceError, finding

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]

OVER = 250.0
"""Code of 255 from which a channel counts as overexposed."""
_LEAST = 1e-6
"""Weight of a place that is quite black in a picture."""
DIM = 30.0
"""Below this code a step of eight bits is more than 6 % of the light."""
_LUMINANCE_OF_BGR = (0.0722, 0.7152, 0.2126)
"""Of linear sRGB [SRGB]."""
_EXPOSED_ALIKE = 0.02
"""Pictures whose exposures differ by less, relative, are averaged."""
_BEND = 0.10
"""How far stored light may leave its exposures; common practice, no source."""
_CHECKED = (40.0, 235.0)
"""Codes between which two pictures are compared."""
_LEAST_PLACES = 400
_MOST_PICTURES = 8
_LOOKED_AT = 1000
"""Pixels along the longer side in which a move of the camera is looked for."""
_MOVED_PIXELS = 1.5


class LitPicture(Record):
    """A photograph as light."""

    light: Light
    """(rows, columns), the upper row first."""
    over: Mask
    code: Light
    """The largest channel as stored, 0 to 255."""
    header: Header
    name: str

    @property
    def exposure(self) -> float | None:
        """Give time times speed over f-number squared; None when the file does not say."""
        header = self.header
        if header.exposure_s is None or header.f_number is None or header.sensitivity is None:
            return None
        return header.exposure_s * header.sensitivity / header.f_number**2


class MergedLight(Record):
    """What one or several photographs tell of a scene's light."""

    light: Light
    held: Mask
    over: Mask
    """Overexposed in every picture."""
    code: Light
    """Of the picture that tells most, as stored, 0 to 255."""
    words: str
    """Where exposures come from."""
    is_checked: bool
    """Whether a second exposure bore out the curve."""
    findings: tuple[Finding, ...]


def lit_picture(data: bytes, *, name: str) -> LitPicture:
    """Unpack a photograph and undo the curve of sRGB.

    Parameters
    ----------
    data
        The whole file, 8 or 16 bits a channel.
    name
        Of the file, for what is told of it.

    Raises
    ------
    TraceError
        If the picture is broken, too large, or of another kind.
    """
    header, pixels = unpacked(data)
    full = {"uint8": 255.0, "uint16": 65535.0}.get(pixels.dtype.name)
    channels = 1 if pixels.ndim == 2 else pixels.shape[2]
    if full is None or channels > 4:
        what = f"pixels of {pixels.dtype.name} in {channels} channels are not read"
        remedy = "save the photograph with 8 or 16 bits a channel"
        raise TraceError(picture_rules.no_picture, what, remedy=remedy)
    planes = pixels[..., None] if pixels.ndim == 2 else pixels
    colours = planes[..., :3] if channels >= 3 else planes[..., :1]
    curve = decode(np.arange(int(full) + 1) / full).astype(np.float32)
    weights = _LUMINANCE_OF_BGR if channels >= 3 else (1.0,)
    light = sum(
        np.float32(weight) * curve[colours[..., place]] for place, weight in enumerate(weights)
    )
    code = colours.max(axis=2).astype(np.float32) * np.float32(255.0 / full)
    return LitPicture(
        light=turned(np.asarray(light, dtype=np.float32), header.orientation),
        over=turned(code, header.orientation) >= OVER,
        code=turned(code, header.orientation),
        header=header,
        name=name,
    )


def merged(pictures: Sequence[LitPicture], *, unlit: LitPicture | None = None) -> MergedLight:
    """Merge photographs of one scene from one place, with other exposures.

    Each place is the mean of the pictures that hold it, weighed by what they stored: more light
    counts more. Where files do not tell their exposures, the ratio is that of the places that two
    pictures both hold.

    Parameters
    ----------
    pictures
        Of one size, the camera standing still.
    unlit
        The same with the model's lights off, exposed as the first; it is taken off.

    Raises
    ------
    TraceError
        If sizes differ, there are too many, or two pictures hold no places in common.
    """
    if len(pictures) > _MOST_PICTURES:
        what = f"{len(pictures)} photographs were given; at most {_MOST_PICTURES} are merged"
        raise TraceError(scale_rules.pictures_apart, what, remedy="choose a short and a long one")
    for other in (*pictures[1:], *((unlit,) if unlit else ())):
        _same_size(pictures[0], other)
    for other in pictures[1:]:
        _same_place(pictures[0], other)
    ratios, words, found, is_checked = _exposures(pictures)
    total = np.zeros(pictures[0].light.shape, dtype=np.float64)
    weight = np.zeros_like(total)
    for picture, ratio in zip(pictures, ratios, strict=True):
        told = np.where(picture.over, 0.0, np.maximum(picture.light, _LEAST) * ratio)
        total += told * picture.light / ratio
        weight += told
    held = weight > 0.0
    light = np.where(held, total / np.maximum(weight, 1e-30), pictures[0].light)
    if unlit is not None:
        light = light - _off(unlit, first=pictures[0])
    usable = np.stack([np.where(one.over, 0.0, one.code) for one in pictures])
    return MergedLight(
        light=np.asarray(light, dtype=np.float32),
        held=held,
        over=np.logical_and.reduce([one.over for one in pictures]),
        code=np.asarray(usable.max(axis=0), dtype=np.float32),
        words=words,
        is_checked=is_checked,
        findings=tuple(found),
    )


def _same_size(first: LitPicture, other: LitPicture) -> None:
    if first.light.shape != other.light.shape:
        (rows, columns), (others, across) = first.light.shape, other.light.shape
        what = (
            f"'{first.name}' has {columns} x {rows} pixels and '{other.name}' {across} x {others}"
        )
        remedy = "take all of them with one camera that stands still, and cut off none"
        raise TraceError(scale_rules.pictures_apart, what, remedy=remedy)


def _same_place(first: LitPicture, other: LitPicture) -> None:
    """Refuse pictures between which the camera moved."""
    import cv2

    rows, columns = first.light.shape
    zoom = min(1.0, _LOOKED_AT / max(rows, columns))
    size = (max(8, round(columns * zoom)), max(8, round(rows * zoom)))
    small = [
        cv2.resize(np.minimum(one.code, OVER), size, interpolation=cv2.INTER_AREA)
        for one in (first, other)
    ]
    window = cv2.createHanningWindow(size, cv2.CV_32F)
    (right, down), _ = cv2.phaseCorrelate(small[0], small[1], window)
    moved = float(np.hypot(right, down)) / zoom
    if moved > _MOVED_PIXELS / min(zoom, 1.0):
        what = f"the camera moved by {moved:.0f} pixels between '{first.name}' and '{other.name}'"
        remedy = "put it on a stand, and set it off by its timer"
        raise TraceError(scale_rules.pictures_apart, what, remedy=remedy)


def _off(unlit: LitPicture, *, first: LitPicture) -> Light:
    """Give the light of the room, as the first picture would hold it."""
    ratio = 1.0
    if unlit.exposure and first.exposure:
        ratio = unlit.exposure / first.exposure
    return np.asarray(unlit.light / np.float32(ratio), dtype=np.float32)


def _exposures(
    pictures: Sequence[LitPicture],
) -> tuple[list[float], str, list[Finding], bool]:
    """Give every picture's exposure over the first's, where it comes from, and what is amiss."""
    first = pictures[0]
    if len(pictures) == 1:
        return [1.0], "one exposure", [], False
    ratios, found, told, is_checked = [1.0], list[Finding](), True, False
    for picture in pictures[1:]:
        stored, bend = _stored_ratio(picture, first)
        written = None
        if picture.exposure and first.exposure:
            written = picture.exposure / first.exposure
        told = told and written is not None
        apart = 0.0 if written is None or stored is None else abs(stored / written - 1.0)
        if apart > _BEND or (bend is not None and bend > _BEND):
            found.append(_bent(picture, first, stored=stored, written=written, bend=bend))
        if written is None and stored is None:
            what = f"'{first.name}' and '{picture.name}' hold too few places in common"
            remedy = "expose one four times as long as the other, not more"
            raise TraceError(scale_rules.pictures_apart, what, remedy=remedy)
        ratio = written if written is not None else stored
        ratios.append(float(ratio or 1.0))
        differs = abs(np.log(ratios[-1])) > _EXPOSED_ALIKE
        is_checked = is_checked or (differs and bend is not None and not found)
    source = "as the files tell" if told else "as the pictures themselves tell"
    shown = " : ".join(f"{ratio:.3g}" for ratio in ratios)
    return ratios, f"{len(pictures)} exposures of {shown}, {source}", found, is_checked


def _stored_ratio(picture: LitPicture, first: LitPicture) -> tuple[float | None, float | None]:
    """Give the ratio of light that two pictures store, and how it changes from dark to bright."""
    low, high = _CHECKED
    both = (picture.code > low) & (picture.code < high) & (first.code > low) & (first.code < high)
    if int(both.sum()) < _LEAST_PLACES:
        return None, None
    one, other = picture.light[both].astype(float), first.light[both].astype(float)
    ratio = one / other
    edges = np.quantile(other, [0.0, 0.25, 0.75, 1.0])
    dark, bright = ratio[other <= edges[1]], ratio[other >= edges[2]]
    middle = float(np.median(ratio))
    bend = abs(float(np.median(bright) / np.median(dark)) - 1.0)
    return middle, bend


def _bent(
    picture: LitPicture,
    first: LitPicture,
    *,
    stored: float | None,
    written: float | None,
    bend: float | None,
) -> Finding:
    pair = f"'{picture.name}' over '{first.name}'"
    parts = []
    if stored is not None and written is not None:
        parts.append(f"{pair}: {stored:.2f} times the light is stored, {written:.2f} was exposed")
    if bend is not None and bend > _BEND:
        parts.append(f"the ratio changes by {bend:.0%} from dark places to bright ones")
    remedy = (
        "switch off high dynamic range and filters, fix exposure and speed by hand; until then "
        "take evenness as too good"
    )
    return finding(lit_rules.bent_response, "; ".join(parts) or pair, remedy=remedy)
