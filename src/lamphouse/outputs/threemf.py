"""Closed surfaces as a 3MF package, in mm: the core specification and nothing beyond it [3MF].

The package is a ZIP archive of three parts. Its times are fixed, so the same surfaces give the same
bytes.
"""

import io
import zipfile
from collections.abc import Iterator, Sequence
from xml.sax.saxutils import quoteattr

from lamphouse.cutting.shell_mesh import Mesh

GAP_MM = 5.0
"""Bodies of one package stand this far apart."""

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="rel0" Target="/3D/3dmodel.model" \
Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
_UNTURNED = "1 0 0 0 1 0 0 0 1"
"""The rows of a transform that only moves."""
_DIGITS = 6


def render(meshes: Sequence[Mesh]) -> bytes:
    """Write surfaces as one package, side by side on the bed.

    Parameters
    ----------
    meshes
        Closed, turned outwards.
    """
    parts = (
        ("[Content_Types].xml", _TYPES),
        ("_rels/.rels", _RELATIONS),
        ("3D/3dmodel.model", "".join(_model(meshes))),
    )
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", compression=zipfile.ZIP_DEFLATED) as package:
        for name, text in parts:
            entry = zipfile.ZipInfo(name, date_time=_LONG_AGO)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            package.writestr(entry, text.encode(), compresslevel=6)
    return held.getvalue()


def _model(meshes: Sequence[Mesh]) -> Iterator[str]:
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield f'<model unit="millimeter" xml:lang="en-US" xmlns="{_CORE}">\n<resources>\n'
    for number, mesh in enumerate(meshes, start=1):
        yield f'<object id="{number}" type="model" name={quoteattr(mesh.name)}>\n'
        yield "<mesh>\n<vertices>\n"
        for x, y, z in mesh.points_mm:
            yield f'<vertex x="{_text(x)}" y="{_text(y)}" z="{_text(z)}"/>\n'
        yield "</vertices>\n<triangles>\n"
        for a, b, c in mesh.triangles:
            yield f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n'
        yield "</triangles>\n</mesh>\n</object>\n"
    yield "</resources>\n<build>\n"
    left = 0.0
    for number, mesh in enumerate(meshes, start=1):
        xs, ys, zs = zip(*mesh.points_mm, strict=True)
        # Into the first octant, one beside the other, each on the bed.
        move = (left - min(xs), -min(ys), -min(zs))
        words = " ".join((_UNTURNED, *(_text(value) for value in move)))
        yield f'<item objectid="{number}" transform="{words}"/>\n'
        left += max(xs) - min(xs) + GAP_MM
    yield "</build>\n</model>\n"


def _text(value: float) -> str:
    """Write a length without an exponent."""
    words = f"{value:.{_DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if words in {"-0", ""} else words
