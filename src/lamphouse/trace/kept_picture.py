"""A picture of a part looked at whole before it is kept, and made small to be shown."""

from pathlib import Path

import numpy as np

from lamphouse.storage.pictures_folder import keep_picture
from lamphouse.trace.picture_file import Picture, unpacked
from lamphouse.trace.picture_header import Header

_ENDINGS = {"JPEG": "jpg", "PNG": "png", "TIFF": "tif"}
SHOWN_SIDE = 1800
"""Longer side of a picture that is only shown. [pixels]."""
_QUALITY = 85


def keep(project_file: Path, *, data: bytes, name: str) -> tuple[str, Header]:
    """Keep a picture in the folder of a project.

    Parameters
    ----------
    project_file
        Whose picture it is.
    data
        The whole file.
    name
        What it was called.

    Returns
    -------
    tuple
        Its file name there, and its header.

    Raises
    ------
    TraceError
        When it is no PNG, JPEG or TIFF, is broken or cut short, or has more pixels than are read.
    StorageError
        When it has too many bytes, or the disk refuses.
    """
    header, _ = unpacked(data)
    kept = keep_picture(project_file, data=data, name=name, ending=_ENDINGS[header.kind])
    return kept, header


def shown(picture: Picture) -> bytes:
    """Give a picture as a JPEG file of moderate size, grey as it is measured."""
    import cv2

    rows, columns = picture.levels.shape
    share = min(1.0, SHOWN_SIDE / max(rows, columns))
    size = (max(1, round(columns * share)), max(1, round(rows * share)))
    grey = cv2.resize(picture.levels, size, interpolation=cv2.INTER_AREA)
    levels = np.clip(grey, 0.0, 255.0).astype(np.uint8)
    _, data = cv2.imencode(".jpg", levels, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])
    return data.tobytes()
