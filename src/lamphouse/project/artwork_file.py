"""A picture file made artwork: unpacked within bounds, brought to sRGB, every assumption named.

Only PNG, JPEG and TIFF are tried. The size is believed only as far as the header says it, and a
picture above the limit is never unpacked.
"""

import struct
import warnings
import zlib
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.artwork import Artwork

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 200_000_000
MOST_PIXELS = 24_000_000
"""A page of A4 at 600 dpi has 35 million, at 480 dpi 22."""
MOST_SIDE = 16_000
LEAST_SIDE = 8
_FORMATS = ("PNG", "JPEG", "TIFF")
_ALPHA = ("LA", "La", "PA", "RGBA", "RGBa")
_DEEP = ("I", "I;16", "I;16B", "I;16L", "F")
_SRGB_GAMMA = (0.4, 0.5)
"""Exponents that stand for the curve of sRGB, written as 1/2.2."""
_SRGB_CODES = ((1, 13), (1, 1))
"""Primaries and curves of H.273 that are sRGB's, or near enough [PNG]."""


class ArtworkError(ValueError):
    """A picture that cannot be artwork.

    Attributes
    ----------
    what : str
        What is wrong with it, with the figures.
    remedy : str
        What to do about it.
    """

    def __init__(self, what: str, *, remedy: str) -> None:
        super().__init__(f"{what}; {remedy}")
        self.what = what
        self.remedy = remedy


def artwork_of(data: bytes, *, file: str) -> Artwork:
    """Unpack a picture.

    Parameters
    ----------
    data
        The whole file.
    file
        Its name, for the record.

    Returns
    -------
    Artwork
        In sRGB by its colour profile where it carries one. Transparent places are laid on white,
        which is film without ink; 16 bits a channel become 8; of several pictures the first counts.

    Raises
    ------
    ArtworkError
        If the picture is broken, too large, too small or of another kind.
    """
    if len(data) > MOST_BYTES:
        size = f"{len(data) // 1_000_000} MB"
        what = f"the file has {size}; at most {MOST_BYTES // 1_000_000} MB are read"
        raise ArtworkError(what, remedy="save it smaller, as PNG")
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what its library warns of is refused below, by size
        try:
            with Image.open(BytesIO(data), formats=_FORMATS) as picture:
                _of_sound_size(picture)
                return _artwork(picture, data, file=file)
        except Image.DecompressionBombError as fault:
            what = f"the picture claims far more than {MOST_PIXELS // 1_000_000} million pixels"
            raise ArtworkError(what, remedy="save it at the size it is printed") from fault
        except (OSError, SyntaxError, EOFError, struct.error, zlib.error, OverflowError) as fault:
            what = "the file is no PNG, JPEG or TIFF picture, or it is broken or cut short"
            raise ArtworkError(what, remedy="save the artwork again as PNG") from fault
        except ValueError as fault:
            if isinstance(fault, ArtworkError):
                raise
            what = "the picture holds what no program for pictures writes"
            raise ArtworkError(what, remedy="save the artwork again as PNG") from fault


def _of_sound_size(picture: "Image.Image") -> None:
    columns, rows = picture.size
    size = f"{columns} x {rows} pixels"
    if columns * rows > MOST_PIXELS or max(columns, rows) > MOST_SIDE:
        what = f"the picture has {size}; at most {MOST_PIXELS // 1_000_000} million are read"
        raise ArtworkError(what, remedy="save it at 300 to 600 dots per inch of its printed size")
    if min(columns, rows) < LEAST_SIDE:
        what = f"the picture has {size}; each side needs at least {LEAST_SIDE}"
        raise ArtworkError(what, remedy="use the artwork itself, not its thumbnail")


def _artwork(picture: "Image.Image", data: bytes, *, file: str) -> Artwork:
    from PIL import ImageOps

    assumed = list(_assumed(picture, data))
    profile = picture.info.get("icc_profile")
    turned = ImageOps.exif_transpose(picture)
    plain = _without_alpha(turned)
    if isinstance(profile, bytes) and profile:
        plain, told = _by_profile(plain, profile)
        assumed.append(told)
    pixels = plain.convert("RGB")
    columns, rows = pixels.size
    return Artwork(
        file=file, columns=columns, rows=rows, pixels=pixels.tobytes(), assumed=tuple(assumed)
    )


def _assumed(picture: "Image.Image", data: bytes) -> list[str]:
    told = []
    if getattr(picture, "n_frames", 1) > 1:
        told.append("of several pictures in it the first was taken")
    if picture.mode in _DEEP or _is_deep_png(data):
        told.append("its 16 bits a channel were read as 8")
    if picture.mode in _ALPHA or "transparency" in picture.info:
        told.append("transparent places were taken as film without ink")
    if picture.mode == "CMYK":
        told.append("its inks were turned to screen colours without a printer's profile")
    if picture.info.get("icc_profile"):
        return told
    gamma = picture.info.get("gamma")
    if isinstance(gamma, float) and not _SRGB_GAMMA[0] < gamma < _SRGB_GAMMA[1]:
        told.append(f"it names a curve of {gamma:.3g} and no profile; it was taken as sRGB")
    codes = _codes(data)
    if codes and codes not in _SRGB_CODES:
        told.append("it names colours wider than sRGB by number; it was taken as sRGB")
    return told


def _is_deep_png(data: bytes) -> bool:
    return data[1:4] == b"PNG" and data[24:25] == b"\x10"


def _codes(data: bytes) -> tuple[int, int] | None:
    """Give the code points of a PNG's colours, where it states them [PNG]."""
    if data[1:4] != b"PNG":
        return None
    at = data.find(b"cICP", 8, data.find(b"IDAT") + 1)
    return (data[at + 4], data[at + 5]) if at > 0 and at + 6 < len(data) else None


def _without_alpha(picture: "Image.Image") -> "Image.Image":
    """Bring to grey, RGB or CMYK of 8 bits, transparent places laid on white."""
    from PIL import Image

    if picture.mode in _DEEP:
        return Image.fromarray(_eight_bits(np.asarray(picture)))
    if picture.mode in _ALPHA or "transparency" in picture.info:
        own = picture.convert("RGBA")
        white = Image.new("RGBA", own.size, (255, 255, 255, 255))
        return Image.alpha_composite(white, own).convert("RGB")
    return picture if picture.mode in ("L", "RGB", "CMYK") else picture.convert("RGB")


def _eight_bits(deep: NDArray[np.generic]) -> NDArray[np.uint8]:
    levels = np.asarray(deep, dtype=np.float64)
    if not np.isfinite(levels).all():
        what = "the picture holds values that are no numbers"
        raise ArtworkError(what, remedy="save it with 8 or 16 bits a channel")
    full = 1.0 if deep.dtype.kind == "f" else 65535.0
    return np.round(np.clip(levels / full, 0.0, 1.0) * 255.0).astype(np.uint8)


def _by_profile(picture: "Image.Image", profile: bytes) -> "tuple[Image.Image, str]":
    """Bring colours to sRGB by a profile; one that cannot be read is left out."""
    from PIL import ImageCms

    try:
        own = ImageCms.ImageCmsProfile(BytesIO(profile))
        made = ImageCms.profileToProfile(
            picture,
            own,
            ImageCms.createProfile("sRGB"),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return picture, "its colour profile could not be used; it was taken as sRGB"
    if made is None:
        return picture, "its colour profile could not be used; it was taken as sRGB"
    return made, "its colours were brought to sRGB by its own profile"
