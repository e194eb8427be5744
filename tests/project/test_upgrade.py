"""Old layouts read as the newest, comments kept; a newer one is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.findings import Severity, Where
from lamphouse.project.tree import grow, plain
from lamphouse.project.upgrade import NEWEST, upgrade, upgrade_file, version_of
from project.projects import OLD, SMALL, codes, read

LAYOUT_0 = (OLD / "layout0.yaml").read_text(encoding="utf-8")


def test_there_is_an_old_file_for_every_old_layout():
    assert sorted(path.name for path in OLD.glob("*.yaml")) == [
        f"layout{number}.yaml" for number in range(NEWEST)
    ]


def test_layout_0_says_the_same_in_layout_1():
    tree, _ = grow(upgrade(LAYOUT_0).text, file="")
    old, _ = grow(LAYOUT_0, file="")
    new, was = plain(tree.root), plain(old.root)

    def named(items):
        return {item["name"]: {k: v for k, v in item.items() if k != "name"} for item in items}

    office = was["sub_assemblies"]["office"]
    wall = office["panels"]["wall"]
    office["lamps"] = named(office["lamps"])
    wall["strands"] = named(wall["strands"])
    wall["boxes"]["window box"]["leds"] = named(wall["boxes"]["window box"]["leds"])
    was["supply"] = {
        ("max_current" if key == "current" else key): value for key, value in was["supply"].items()
    }
    was["lamphouse"] = "1"
    assert new == was


def test_every_comment_of_layout_0_is_kept_in_order():
    def comments(text):
        return [line.split("#", 1)[1] for line in text.splitlines() if "#" in line]

    assert comments(upgrade(LAYOUT_0).text) == comments(LAYOUT_0)


def test_an_old_file_gives_a_design_and_a_note():
    reading = read(LAYOUT_0)
    assert [found.code for found in reading.findings] == ["PRJ010"]
    assert reading.findings[0].severity is Severity.NOTE
    names = [led.name for led in reading.design.sub_assemblies[0].leds()]
    assert names == ["W", "late one", "desk: lamp", "hall", "glow source"]


def test_lines_of_an_old_file_are_at_most_one_off():
    reading = read(LAYOUT_0)
    lines = LAYOUT_0.splitlines()
    for led in reading.design.sub_assemblies[0].lamps[:2]:
        around = "".join(lines[led.where.line - 2 : led.where.line + 1])
        assert led.name in around


def test_the_newest_layout_stays_as_it_is():
    assert upgrade(SMALL).text == SMALL
    assert upgrade(SMALL).steps == ()


@pytest.mark.parametrize(
    "given", ["2", "99", "9" * 5000, "one", "-1", "1.0", "\u0661", "[1]", "''"]
)
def test_another_layout_is_refused(given):
    text = SMALL.replace("lamphouse: 1", f"lamphouse: {given}")
    assert "PRJ009" in codes(text) or "PRJ024" in codes(text)
    assert read(text).design is None
    with pytest.raises(ValueError, match=r"layout|lamphouse"):
        version_of(text)


def test_a_newer_layout_says_that_the_program_is_too_old():
    found = read(SMALL.replace("lamphouse: 1", "lamphouse: 2")).findings
    assert len(found) == 1
    assert "newer than this program" in found[0].message


def test_a_file_is_upgraded_with_the_old_one_beside_it(tmp_path):
    file = tmp_path / "project.yaml"
    file.write_text(LAYOUT_0, encoding="utf-8", newline="")
    done = upgrade_file(tmp_path)
    assert (tmp_path / "project.layout0.yaml").read_text(encoding="utf-8") == LAYOUT_0
    assert (done.version, len(done.steps)) == (1, 2)
    assert not codes(file.read_text(encoding="utf-8"))
    again = upgrade_file(file)
    assert (again.steps, again.old_file) == ((), "")


def test_an_older_file_kept_before_is_not_overwritten(tmp_path):
    (tmp_path / "project.yaml").write_text(LAYOUT_0, encoding="utf-8")
    (tmp_path / "project.layout0.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        upgrade_file(tmp_path)
    assert (tmp_path / "project.yaml").read_text(encoding="utf-8") == LAYOUT_0
    assert (tmp_path / "project.layout0.yaml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("data", [b"\xff\xfea", b"lamphouse: 7\n", b"a: [\n", b"name: x\n"])
def test_what_cannot_be_upgraded_is_an_oserror_with_a_reason(tmp_path, data):
    file = tmp_path / "project.yaml"
    file.write_bytes(data)
    with pytest.raises(OSError, match=r"UTF-8|layout|bracket|lamphouse"):
        upgrade_file(file)
    assert file.read_bytes() == data


NAMES = st.text(
    alphabet=st.characters(codec="ascii", categories=("L", "N", "P", "Zs")), min_size=1, max_size=9
).filter(lambda name: name.strip() == name and "/" not in name and "\\" not in name)


@settings(max_examples=60, deadline=None)
@given(st.lists(NAMES, min_size=1, max_size=5, unique=True), st.booleans(), st.data())
def test_any_name_becomes_its_key(names, flow, data):
    from lamphouse.project.splice import scalar

    rows = []
    for name in names:
        word = scalar(name, in_brackets=True)
        last = data.draw(st.booleans())
        keys = [f"name: {word}", "type: x"]
        keys = keys[::-1] if last else keys
        rows.append(f"- {{{', '.join(keys)}}}" if flow else "- " + "\n  ".join(keys))
    block = "\n".join("    " + line for row in rows for line in row.splitlines())
    text = f"lamphouse: 0\nsub_assemblies:\n  a:\n    lamps:\n{block}\n    board: b\n"
    tree, found = grow(upgrade(text).text, file="")
    assert not found
    lamps = plain(tree.root)["sub_assemblies"]["a"]["lamps"]
    assert list(lamps.items()) == [(name, {"type": "x"}) for name in names]


def test_places_do_not_count_when_records_are_compared():
    # The same model in both layouts is the same design, wherever its lines stand.
    new = read(upgrade(LAYOUT_0).text).design
    old = read(LAYOUT_0).design
    assert new == old
    here, there = Where(item="a", line=1), Where(item="a", file="b", line=2, column=3)
    assert here == there
    assert hash(here) == hash(there)
    assert here != Where(item="b", line=1)
