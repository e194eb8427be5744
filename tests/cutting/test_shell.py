"""Printed boxes: the surface is closed, turned outwards, and as large as it should be."""

import io
import os
import struct
import zipfile
from itertools import pairwise
from math import pi
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import samples as s
from lamphouse.cutting.shell_mesh import body_volume_mm3, faults_of, mesh_of, volume_mm3
from lamphouse.design.lightbox import Build, Lid, Seat
from lamphouse.outputs import stl, threemf
from lamphouse.record import replace
from lamphouse.shapes import outline

FULL = {
    "baffles": (s.baffle("a", (30, 5), (30, 35)), s.baffle("b", (15, 20), (45, 20), height_mm=4)),
    "inner_diffuser": s.diffuser(7),
    "leds": (
        s.led("A", 22, 26, turn_deg=20),
        s.led("B", 38, 12),
        s.led("W", 50, 26, seat=Seat.WALL, height_mm=3),
    ),
}
WIDE = s.box_shape(40, 30, x=30, y=20)
BOXES = {
    "plain": s.box(build=Build.PRINTED),
    "full": s.box(WIDE, build=Build.PRINTED, **FULL),
    "full, with a lid": s.box(WIDE, build=Build.PRINTED, lid=Lid.OVER, **FULL),
    "round": s.box(outline.circle(30, x_mm=30, y_mm=20), build=Build.PRINTED, lid=Lid.OVER,
                   inner_diffuser=s.diffuser(6)),
    "hexagon": s.box(outline.regular_polygon(6, across_mm=30, x_mm=30, y_mm=20),
                     build=Build.PRINTED),
}  # fmt: skip


def bodies(box):
    cut = s.cut(s.panel(corners=s.box_shape(90, 70, x=30, y=20)), boxes=[box])
    assert {f.code for f in cut.findings} <= {"CUT076", "CUT077"}
    return cut.boxes[0].bodies


def trimesh_or_skip():
    if os.environ.get("CI") == "true":
        import trimesh

        return trimesh
    return pytest.importorskip("trimesh", reason="the mesh library trimesh is not installed")


@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_every_body_is_proved_closed(box):
    made = bodies(box)
    assert len(made) == (2 if box.lid is Lid.OVER else 1)
    for body in made:
        assert faults_of(mesh_of(body), body=body) == ()


@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_an_outside_mesh_library_finds_every_body_a_closed_volume(box):
    trimesh = trimesh_or_skip()
    for body in bodies(box):
        mesh = mesh_of(body)
        read = trimesh.load(io.BytesIO(stl.render(mesh)), file_type="stl")
        assert read.is_watertight
        assert read.is_winding_consistent
        assert read.is_volume
        assert read.volume == pytest.approx(body_volume_mm3(body), rel=1e-5)
        assert len(read.faces) == len(mesh.triangles)


@settings(max_examples=20)
@given(
    width=st.floats(8, 60),
    height=st.floats(8, 40),
    depth=st.floats(4, 30),
    thick=st.floats(0.5, 3.0),
)
def test_a_plain_shell_holds_outside_less_inside(width, height, depth, thick):
    (body,) = bodies(s.box(s.box_shape(width, height, x=30, y=20), build=Build.PRINTED,
                           depth_mm=depth, thickness_mm=thick, wire_exit_mm=0.0))  # fmt: skip
    mesh = mesh_of(body)
    assert faults_of(mesh, body=body) == ()
    outside = (width + 2 * thick) * (height + 2 * thick) * (depth + thick)
    # Corners lie on a grid of 1e-4 mm.
    assert volume_mm3(mesh) == pytest.approx(outside - width * height * depth, rel=1e-3)


def test_a_round_shell_and_its_ledge_by_closed_forms():
    # Ring of pi (R2 - r2) depth; the ledge's steps of 0.25 mm, each as wide as its share of 1 mm.
    (shell, _lid) = bodies(BOXES["round"])
    inner, outer = 15.0, 16.0
    ring = pi * (outer**2 - inner**2) * 10.0
    ledge = sum(0.25 * pi * (inner**2 - (inner - 0.25 * step) ** 2) for step in (1, 2, 3, 4))
    notch = 2.0 * 2.0 * 1.0
    assert body_volume_mm3(shell) == pytest.approx(ring + ledge - notch, rel=5e-3)


def test_the_ledge_carries_the_diffuser_and_overhangs_no_more_than_it_rises():
    (body,) = bodies(BOXES["full"])
    widths = []
    for layer in body.layers:
        if 6.0 - 1e-9 <= layer.low_mm < 7.0:
            hole = max(
                (hole for region in layer.regions for hole in region.holes),
                key=lambda ring: max(x for x, *_ in ring) - min(x for x, *_ in ring),
            )
            widths.append((layer.low_mm, min(x for x, *_ in hole) - 10.0))
    assert max(layer.high_mm for layer in body.layers if layer.low_mm < 7.0 - 1e-9) == 7.0
    assert widths[-1][1] == pytest.approx(1.0, abs=2e-4)
    steps = [(up - low, out - before) for (low, before), (up, out) in pairwise(widths)]
    assert all(out <= up + 2e-4 for up, out in steps)


def test_a_torn_surface_is_found():
    (body,) = bodies(BOXES["plain"])
    mesh = mesh_of(body)
    torn = replace(mesh, triangles=mesh.triangles[1:])
    assert any("no triangle on their other side" in one for one in faults_of(torn, body=body))
    a, b, c = mesh.triangles[0]
    turned = replace(mesh, triangles=((a, c, b), *mesh.triangles[1:]))
    assert any("more than two" in one for one in faults_of(turned, body=body))
    inside_out = replace(mesh, triangles=tuple((a, c, b) for a, b, c in mesh.triangles))
    assert any("mm3" in one for one in faults_of(inside_out, body=body))


def test_the_package_is_as_the_core_specification_has_it():
    # Read with an XML parser alone: parts, unit, and every triangle's corners. [3MF]
    meshes = [mesh_of(body) for body in bodies(BOXES["full, with a lid"])]
    data = threemf.render(meshes)
    assert data == threemf.render(meshes)
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        assert package.testzip() is None
        names = package.namelist()
        assert names == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]
        assert {one.date_time for one in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        types = ET.fromstring(package.read(names[0]))
        model = ET.fromstring(package.read(names[2]))
    assert {one.attrib["Extension"] for one in types} == {"rels", "model"}
    core = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
    assert model.tag == f"{core}model"
    assert model.attrib["unit"] == "millimeter"
    read = model.findall(f"{core}resources/{core}object")
    assert [one.attrib["type"] for one in read] == ["model", "model"]
    for one, mesh in zip(read, meshes, strict=True):
        points = [tuple(float(v.attrib[axis]) for axis in "xyz") for v in one.iter(f"{core}vertex")]
        corners = [tuple(int(t.attrib[key]) for key in ("v1", "v2", "v3"))
                   for t in one.iter(f"{core}triangle")]  # fmt: skip
        assert len(set(points)) == len(mesh.points_mm)
        for point, meant in zip(points, mesh.points_mm, strict=True):
            assert point == pytest.approx(meant, abs=1e-6)
        assert corners == list(mesh.triangles)
    items = model.findall(f"{core}build/{core}item")
    assert [item.attrib["objectid"] for item in items] == ["1", "2"]


def test_binary_stl_has_its_count_its_normals_and_no_word_solid():
    (body,) = bodies(BOXES["plain"])
    mesh = mesh_of(body)
    data = stl.render(mesh)
    assert not data.startswith(b"solid")
    (count,) = struct.unpack_from("<I", data, 80)
    assert (count, len(data)) == (len(mesh.triangles), 84 + 50 * len(mesh.triangles))
    for number in range(count):
        nx, ny, nz, *_ = struct.unpack_from("<12f", data, 84 + 50 * number)
        assert nx**2 + ny**2 + nz**2 == pytest.approx(1.0, abs=1e-6)
    # No two corners fall together in single precision.
    single = {struct.pack("<3f", *point) for point in mesh.points_mm}
    assert len(single) == len(mesh.points_mm)


def test_thin_and_printed_walls_are_told():
    cut = s.cut(s.panel(), boxes=[s.box(build=Build.PRINTED, thickness_mm=0.5)])
    assert [f.code for f in cut.findings] == ["CUT076", "CUT077"]
    assert "0.8 mm" in cut.findings[0].remedy
    assert cut.boxes[0].pieces == ()
