"""The glow page and the files of a glow: whole, named, the same twice, nothing from elsewhere."""

import struct

import pytest

from lamphouse.findings import Finding, Severity, Where
from lamphouse.outputs import glow_files, glow_sheets, pack
from lamphouse.outputs.contents import document
from lamphouse.outputs.glow_lines import chosen, lines_of
from lamphouse.outputs.glow_views import MOST_PIXELS, panel_views
from lamphouse.outputs.pdf import set_pages
from lamphouse.outputs.png import SIGNATURE
from lamphouse.record import replace
from lamphouse.storage.folder import LISTING
from lamphouse.storage.refusal import StorageError
from outputs.sample_plan import glow, rectangle, sample


def told(code, *, severity=Severity.WARN, item="chart table / top / screen", accepted=""):
    return Finding(
        code=code,
        severity=severity,
        where=Where(item=item),
        message="m",
        remedy="r",
        accepted=accepted,
    )


def line(*findings, judged=None):
    (only,) = lines_of([judged or glow("chart table")], findings=findings)
    return only


def test_the_page_holds_pictures_maps_section_and_figures():
    plan = sample()
    first, second = plan.design.sub_assemblies
    data = glow_sheets.glow(plan, first)
    (panel,) = data["panels"]
    assert [picture["words"].split(";")[0] for picture in panel["pictures"]] == [
        "in grey, at 50 lx, face 20% grey",
        "in grey, in the dark",
    ]
    assert all(bytes(picture["png"]).startswith(SIGNATURE) for picture in panel["pictures"])
    assert all(picture["width"] <= 85.0 for picture in panel["pictures"])
    assert [picture["words"] for picture in panel["colours"]] == [
        "lit in the dark",
        "lit at 50 lx",
        "unlit at 50 lx",
    ]
    assert all(bytes(picture["png"]).startswith(SIGNATURE) for picture in panel["colours"])
    assert all(3.0 * picture["width"] + 10.0 <= 180.0 for picture in panel["colours"])
    (box,) = panel["boxes"]
    assert len(box["maps"]) == 1
    assert box["section"]["name"] == "screen box section"
    assert [row[0] for row in data["rows"]] == ["screen"]
    assert glow_sheets.glow(plan, second) is None


def test_figures_never_come_as_powers_of_ten():
    plan = sample()
    opening = replace(
        glow("chart table").openings[0],
        mean_cd_m2=1234.5,
        bar_cd_m2=0.0001234,
        low_cd_m2=987.0,
        high_cd_m2=123456.0,
    )
    bright = replace(plan, glows=(replace(glow("chart table"), openings=(opening,)),))
    row = glow_sheets.glow(bright, plan.design.sub_assemblies[0])["rows"][0]
    assert row[1:4] == ("1230", "±0.0001", "990 to 120000")


def test_without_a_room_there_is_only_the_dark():
    plan = sample()
    dark = replace(plan, design=replace(plan.design, room=None))
    (panel,) = glow_sheets.glow(dark, plan.design.sub_assemblies[0])["panels"]
    assert [picture["words"].split(";")[0] for picture in panel["pictures"]] == [
        "in grey, in the dark"
    ]
    assert [picture["words"] for picture in panel["colours"]] == ["lit in the dark"]


def test_a_very_large_panel_is_drawn_coarser():
    plan = sample()
    first, second = plan.design.sub_assemblies
    wall = replace(first.panels[0], outline=rectangle(2000.0, 1000.0))
    large = replace(plan.design, sub_assemblies=(replace(first, panels=(wall,)), second))
    (view,) = panel_views(replace(plan, design=large), glows=plan.glows)
    assert view.in_dark.width_mm == pytest.approx(2000.0, abs=1.0)
    width, height = struct.unpack(">II", view.in_dark.png[16:24])
    assert width * height <= 1.01 * MOST_PIXELS


def test_names_that_try_to_be_markup_are_set_as_they_are():
    nasty = '#panic("no")'
    plan = sample(nasty)
    (own,) = [p for p in document(plan)["pages"] if p["mark"] == "1 glow"]
    assert own["data"]["name"] == nasty
    assert set_pages(document(plan), day=plan.design.day).startswith(b"%PDF")


def test_files_are_named_after_what_they_show_and_the_same_twice():
    plan = sample()
    one, two = (glow_files.build(plan, glows=plan.glows) for _ in range(2))
    assert one == two
    assert set(one) == {
        "chart-table-top-at-50-lx.png",
        "chart-table-top-in-the-dark.png",
        "chart-table-top-in-colour.png",
        "chart-table-top-in-wide-colour.png",
        "chart-table-top-screen-evenness.svg",
        "chart-table-top-screen-box-section.svg",
        LISTING,
    }


def test_pictures_never_replace_a_pack(tmp_path):
    plan = sample()
    pack.write(pack.build(plan), folder=tmp_path / "pack")
    with pytest.raises(StorageError, match="holds a build pack"):
        glow_files.write(glow_files.build(plan, glows=plan.glows), folder=tmp_path / "pack")
    assert (tmp_path / "pack" / "pack.pdf").is_file()


def test_a_verdict_is_what_stands_against_an_opening():
    assert line(told("LIT010"), told("LIT014")).verdict == "uneven, washed out"
    assert line(told("LIT010", accepted="seen on the bench")).verdict == "as wanted"
    assert line(told("LIT017", severity=Severity.NOTE)).verdict == "as wanted"
    assert line(told("LIT010", item="chart table / top / other")).verdict == "as wanted"
    assert line(told("CIR003")).verdict == "as wanted"
    assert line(told("LIT099")).verdict == "LIT099"


@pytest.mark.parametrize(("mean", "words"), [(2.0, "too dark"), (900.0, "too bright")])
def test_a_luminance_outside_its_class_says_which_way(mean, words):
    judged = glow("chart table")
    off = replace(judged, openings=(replace(judged.openings[0], mean_cd_m2=mean),))
    assert line(told("LIT013"), judged=off).verdict == words


def test_without_a_look_there_is_no_verdict():
    judged = glow("chart table")
    free = replace(judged, openings=(replace(judged.openings[0], look=None),))
    assert line(judged=free).verdict == ""


def test_a_box_is_chosen_by_its_name_with_what_was_found_about_it():
    plan = sample()
    own = (
        told("LIT010", item="chart table / screen box"),
        told("LIT011", item="chart table / top / screen"),
    )
    other = (told("LIT010", item="chart table / top / screens"), told("CIR002"))
    found = chosen(replace(plan, findings=(*own, *other)), box="screen box")
    assert found.findings == own
    assert [box.box for box in found.glows] == ["screen box"]
    assert chosen(replace(plan, findings=(*own, *other))).findings == (*own, other[0])
    with pytest.raises(LookupError, match="there are: screen box"):
        chosen(plan, box="teapot")
