"""The starting project: sound, and showing every key there is."""

import re

import pytest

from lamphouse.project.read import read_project
from lamphouse.project.schema import project_schema
from lamphouse.project.starter import DEMOS, demo_pictures, demo_text, start, starter_text
from project.projects import codes, read


def test_the_starting_project_is_sound():
    assert codes(starter_text()) == []
    assert read(starter_text()).design is not None


def test_it_shows_every_key():
    schema = project_schema()
    keys = {key for part in (schema, *schema["$defs"].values()) for key in part["properties"]}
    shown = set(re.findall(r"\b([a-z_]+):", starter_text()))
    assert keys - shown == set()


def test_its_comments_hold_true():
    # Every key shown behind a comment sign is taken by the reader when the sign goes.
    text = starter_text()
    for line in re.findall(
        r"^ +# (?:match|turn|inner_diffuser|baffles|pillars|grain): .*$", text, re.MULTILINE
    ):
        live = text.replace(line, line.replace("# ", "", 1))
        assert codes(live) == [], line
    live = text.replace("    # strings:", "    strings:").replace(
        "    #   S: {leds", "      S: {leds"
    )
    assert codes(live) == []


def test_a_new_project_is_called_after_its_folder(tmp_path):
    written = start(tmp_path / "night-studio")
    assert [path.name for path in written] == ["project.yaml"]
    assert read_project(tmp_path / "night-studio").design.name == "Night studio"


@pytest.mark.parametrize("name", ["a: b", "#1", "- x", "'", "\u00fc\u00df", "x" * 200, "1", "null"])
def test_any_folder_gives_a_sound_project(tmp_path, name):
    start(tmp_path / name)
    reading = read_project(tmp_path / name)
    assert not reading.findings
    assert reading.design.name


@pytest.mark.parametrize("demo", DEMOS)
def test_a_demo_is_copied_whole(tmp_path, demo):
    written = start(tmp_path, demo=demo)
    names, pictures = (
        [path.relative_to(tmp_path).as_posix() for path in written],
        demo_pictures(demo),
    )
    assert names == [*DEMOS[demo], *pictures]
    for name, data in pictures.items():
        assert (tmp_path / name).read_bytes() == data
        assert len(data) < 400_000
    for path in written[: len(DEMOS[demo])]:
        assert path.read_text(encoding="utf-8") == demo_text(demo, path.name)
        assert read_project(path).design is not None


def test_nothing_of_the_makers_is_overwritten(tmp_path):
    (tmp_path / "project.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        start(tmp_path)
    assert (tmp_path / "project.yaml").read_text(encoding="utf-8") == "mine"


def test_an_unknown_demo_is_refused(tmp_path):
    with pytest.raises(KeyError):
        start(tmp_path, demo="nowhere")
