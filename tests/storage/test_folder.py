"""One folder, replaced whole, and nothing of the maker's ever deleted."""

import json
import os

import pytest

from lamphouse.storage import folder
from lamphouse.storage.folder import LISTING, listing_of, recover_folder, replace_folder
from lamphouse.storage.refusal import StorageError
from storage.disks import mounted, names_in
from storage.killing import kill_often

KILLS = 200


def pack(letter, *, count=6, size=20_000):
    files = {f"svg/{letter}{n}.svg": letter.encode() * size for n in range(count)}
    files["plan.json"] = letter.encode() * size
    listing = json.dumps({"revision": letter, "files": listing_of(files)}).encode()
    return {**files, LISTING: listing}


def content(path):
    inside = sorted(path.rglob("*"))
    return {p.relative_to(path).as_posix(): p.read_bytes() for p in inside if p.is_file()}


OLD, NEW = pack("a"), pack("b", count=4)


def parts(place):
    return [entry.name for entry in place.iterdir() if entry.name.startswith(".lamphouse")]


@pytest.fixture(params=["exchange", "two steps"])
def way(request, monkeypatch):
    """Both ways of taking the place: in one step, and as on systems that cannot exchange."""
    if request.param == "two steps":
        monkeypatch.setattr(folder, "_exchange", lambda *_parts, **_places: False)
    return request.param


@pytest.mark.usefixtures("way")
def test_new_replaced_and_nothing_left_beside(tmp_path):
    path = tmp_path / "out"
    replace_folder(path, OLD)
    assert content(path) == OLD
    replace_folder(path, NEW)
    assert content(path) == NEW
    assert names_in(tmp_path) == ["out"]


@pytest.mark.usefixtures("way")
def test_an_empty_folder_is_taken(tmp_path):
    (tmp_path / "out").mkdir()
    replace_folder(tmp_path / "out", OLD)
    assert content(tmp_path / "out") == OLD
    assert names_in(tmp_path) == ["out"]


def test_the_exchange_works_on_this_disk(tmp_path):
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()
    (one / "x").write_bytes(b"x")
    if not folder._exchange(one, target=other):
        pytest.skip("this disk cannot exchange two names")
    assert names_in(other) == ["x"]
    assert names_in(one) == []


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
def test_kill_9_leaves_one_whole_version(tmp_path, way):
    path = tmp_path / "out"
    replace_folder(path, OLD)
    unfinished, between = [], []

    def write_forever():
        while True:
            replace_folder(path, NEW)
            replace_folder(path, OLD)

    def look():
        unfinished.extend(parts(tmp_path))
        between.extend([1] if not path.exists() else [])
        if way == "two steps":
            recover_folder(path)
        assert content(path) in (OLD, NEW)

    kill_often(write_forever, times=KILLS, after_each=look, longest_s=0.03, seed=2)
    assert len(unfinished) > KILLS // 10, "too few kills fell into the middle of a write"
    if way == "exchange":
        assert between == [], "with an exchange the folder is there at any moment"
    replace_folder(path, NEW)
    assert names_in(tmp_path) == ["out"], "leftovers are swept"


def test_killed_between_the_two_steps(tmp_path, monkeypatch):
    path = tmp_path / "out"
    replace_folder(path, OLD)

    class PulledPlug(BaseException):
        pass

    def first_step_only(part, *, target):
        target.rename(folder.beside(target, ending="old"))
        raise PulledPlug

    with monkeypatch.context() as patched:
        patched.setattr(folder, "_swap", first_step_only)
        with pytest.raises(PulledPlug):
            replace_folder(path, NEW)
    assert not path.exists()
    recover_folder(path)
    assert content(path) == OLD
    replace_folder(path, NEW)
    assert names_in(tmp_path) == ["out"]


def foreign_note(path):
    (path / "my notes.txt").write_text("careful")


def edited_list(path):
    (path / "plan.json").write_text("mine now")


def foreign_folder(path):
    (path / "photos").mkdir()


def link_out(path):
    (path / "plan.json").unlink()
    (path / "plan.json").symlink_to("../kept")


def no_listing(path):
    (path / LISTING).unlink()


def broken_listing(path):
    (path / LISTING).write_text('{"files": [')


@pytest.mark.parametrize(
    "change",
    [foreign_note, edited_list, foreign_folder, link_out, no_listing, broken_listing],
)
def test_the_makers_work_is_refused_and_kept(tmp_path, change):
    (tmp_path / "kept").write_text("kept")
    path = tmp_path / "out"
    replace_folder(path, OLD)
    change(path)
    before = content(path)
    with pytest.raises(StorageError, match=r"yours|not made here"):
        replace_folder(path, NEW)
    assert content(path) == before
    assert (tmp_path / "kept").read_text() == "kept"
    assert parts(tmp_path) == []


def test_a_folder_of_photographs_is_refused_by_name(tmp_path):
    path = tmp_path / "photos"
    path.mkdir()
    (path / "bay.jpg").write_bytes(b"...")
    with pytest.raises(StorageError, match=r"it holds 'bay.jpg' and no pack.json"):
        replace_folder(path, NEW)
    assert names_in(path) == ["bay.jpg"]


def test_what_a_system_drops_into_folders_does_not_stand_in_the_way(tmp_path):
    path = tmp_path / "out"
    replace_folder(path, OLD)
    (path / "svg" / ".DS_Store").write_bytes(b"..")
    replace_folder(path, NEW)
    assert content(path) == NEW
    assert names_in(tmp_path) == ["out"]


def test_a_file_where_the_folder_should_be(tmp_path):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(StorageError, match="a file has this name"):
        replace_folder(tmp_path / "out", NEW)
    assert (tmp_path / "out").read_text() == "mine"


def test_a_link_to_a_folder_is_followed(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to("real")
    replace_folder(tmp_path / "out", NEW)
    assert (tmp_path / "out").is_symlink()
    assert content(tmp_path / "real") == NEW


@pytest.mark.parametrize("name", ["../escape", "/tmp/x", "a/../../x", "con", "x\\y"])
def test_names_that_leave_the_folder(tmp_path, name):
    files = {name: b"x"}
    files[LISTING] = json.dumps({"files": listing_of(files)}).encode()
    with pytest.raises(ValueError, match="no relative file name"):
        replace_folder(tmp_path / "out", files)
    assert names_in(tmp_path) == []


def test_a_listing_that_does_not_fit(tmp_path):
    with pytest.raises(ValueError, match="does not list"):
        replace_folder(tmp_path / "out", {**NEW, "more": b""})
    with pytest.raises(ValueError, match=r"hold no pack.json"):
        replace_folder(tmp_path / "out", {"more": b""})


@pytest.mark.usefixtures("way")
def test_a_really_full_disk(tmp_path):
    with mounted(tmp_path / "small", "-o", "size=400k") as disk:
        replace_folder(disk / "out", OLD)
        with pytest.raises(StorageError, match="the disk is full"):
            replace_folder(disk / "out", pack("c", count=20))
        assert content(disk / "out") == OLD
        assert names_in(disk) == ["out"]


def test_a_missing_parent(tmp_path):
    with pytest.raises(StorageError, match="does not exist"):
        replace_folder(tmp_path / "no" / "out", NEW)
