"""A photograph for the bench log, looked at before it is kept."""

from pathlib import Path

from lamphouse.storage.log_photos import keep_photo
from lamphouse.trace.picture_header import read_header

_ENDINGS = {"JPEG": "jpg", "PNG": "png", "TIFF": "tif"}


def keep_photograph(project_file: Path, *, data: bytes, name: str) -> str:
    """Keep a photograph in the log of a project.

    Nothing is unpacked: kind and size are read from the header, so that no picture can fill the
    memory of whoever looks at the log later.

    Parameters
    ----------
    project_file
        Whose log it belongs to.
    data
        The whole picture file.
    name
        What it was called.

    Returns
    -------
    str
        Its file name in the log's folder, as an entry's attachment.

    Raises
    ------
    TraceError
        When it is no PNG, JPEG or TIFF, or has more pixels than are read.
    StorageError
        When it has too many bytes, or the disk refuses.
    """
    header = read_header(data)
    return keep_photo(project_file, data=data, name=name, ending=_ENDINGS[header.kind])
