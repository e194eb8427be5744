"""Photographs of the log: kept once, under names that stay inside the folder, within limits."""

import io

import pytest
from PIL import Image

from lamphouse.storage import log_photos
from lamphouse.storage.log_photos import keep_photo
from lamphouse.storage.refusal import StorageError
from lamphouse.trace.log_photograph import keep_photograph
from lamphouse.trace.refused import TraceError


def picture(colour="white", kind="JPEG", size=(64, 48)):
    into = io.BytesIO()
    Image.new("RGB", size, colour).save(into, format=kind)
    return into.getvalue()


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("IMG 0412.JPG", "img-0412"),
        ("../../etc/passwd", "passwd"),
        ("C:\\Users\\me\\con.jpg", "con-piece"),
        ("", "piece"),
        ("x" * 300 + ".jpg", "x" * 40),
        ("\x00\n", "piece"),
    ],
)
def test_names_stay_inside_and_say_what_they_can(tmp_path, name, stem):
    kept = keep_photograph(tmp_path / "project.yaml", data=picture(), name=name)
    assert kept.rpartition("-")[0] == stem
    assert [entry.name for entry in tmp_path.rglob("*.*")] == ["project.log", kept]


def test_the_same_picture_is_kept_once_and_another_beside_it(tmp_path):
    file = tmp_path / "project.yaml"
    first = keep_photograph(file, data=picture(), name="a.jpg")
    assert keep_photograph(file, data=picture(), name="sent again.jpg") == first
    other = keep_photograph(file, data=picture("black", "PNG"), name="a.jpg")
    assert other != first
    assert other.endswith(".png"), "what it is counts, not what it is called"


def test_what_is_no_picture_or_too_large_is_refused(tmp_path, monkeypatch):
    file = tmp_path / "project.yaml"
    with pytest.raises(TraceError, match="no PNG, JPEG or TIFF"):
        keep_photograph(file, data=b"<svg onload=alert(1)>" * 20, name="a.jpg")
    bomb = bytearray(picture(kind="PNG"))
    bomb[16:24] = (60_000).to_bytes(4, "big") * 2
    with pytest.raises(TraceError, match="60000 x 60000 pixels"):
        keep_photograph(file, data=bytes(bomb), name="a.png")
    monkeypatch.setattr(log_photos, "MOST_PHOTO_BYTES", 1000)
    with pytest.raises(StorageError, match="save it smaller"):
        keep_photo(file, data=bytes(2000), name="a.jpg", ending="jpg")
    assert list(tmp_path.iterdir()) == []
