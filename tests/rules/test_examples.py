"""Every rule's page is whole, and the example on it trips the rule over a sound small project."""

import io
import re
import shlex
import sys
from pathlib import Path

import pytest
from PIL import Image
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

sys.path.insert(0, str(Path(__file__).parents[2] / "docs"))
from generate import load_every_rule, sections

from lamphouse.cli.main import command
from lamphouse.findings import RULES, Severity
from lamphouse.plan import make
from lamphouse.plan.balanced_plan import balanced
from lamphouse.project.read import read_project, read_text
from lamphouse.sources import SOURCES

SOUND = (Path(__file__).parent / "sound.yaml").read_text(encoding="utf-8")
HEADINGS = ["What it checks", "Why it matters", "Example", "Mend", "Source"]

load_every_rule()


def example_of(rule):
    body = dict(sections(rule))["Example"].split("::\n", 1)[1]
    lines = body.strip("\n").splitlines()
    indent = min(len(line) - len(line.lstrip()) for line in lines if line.strip())
    return "\n".join(line[indent:] for line in lines) + "\n"


def merged(base, over):
    """Lay one tree over another: mappings merge, everything else is replaced."""
    if isinstance(base, dict) and isinstance(over, dict):
        return {**base, **{key: merged(base.get(key), value) for key, value in over.items()}}
    return over


def over_the_sound_project(fragment):
    """Give the texts the fragment may mean: laid over the sound project, or broken text."""
    yaml = YAML(typ="safe", pure=True)
    parts = {}
    try:
        over = yaml.load(fragment)
    except YAMLError:
        over = None
    if isinstance(over, dict):
        parts = {key: value for key, value in over.items() if str(key).startswith("parts/")}
        over = {key: value for key, value in over.items() if key not in parts}
        text = io.StringIO()
        YAML(typ="safe", pure=True).dump(merged(yaml.load(SOUND), over), text)
        yield text.getvalue(), parts
    yield SOUND + fragment, parts
    yield fragment, parts


def picture(mode, colours):
    """Write a picture of stripes."""
    drawn = Image.new(mode, (8 * len(colours), 12))
    for place, colour in enumerate(colours):
        drawn.paste(colour, (8 * place, 0, 8 * place + 8, 12))
    into = io.BytesIO()
    drawn.save(into, format="PNG")
    return into.getvalue()


PICTURES = {
    "broken.png": picture("RGB", [(0, 0, 0)] * 9)[:-50],
    "glassy.png": picture("RGBA", [(200, 30, 30, 255), (0, 0, 0, 0)]),
    "chart.png": picture("RGB", [(200, 30, 30), (20, 60, 120), (30, 130, 60), (0, 0, 0)]),
}
"""Pictures that lie beside every example."""


def codes_of(text, parts):
    reading = read_text(text, file="project.yaml", own_parts=parts, own_pictures=PICTURES)
    if reading.design is None:
        return {finding.code for finding in reading.findings}
    found = balanced(reading.design, found=reading.findings)
    return {finding.code for finding in (*found.before.findings, *found.findings)}


def test_the_sound_project_has_no_findings_but_notes():
    reading = read_text(SOUND, file="project.yaml")
    plan = make.plan(reading.design, found=reading.findings)
    assert [str(f) for f in plan.findings if f.severity is not Severity.NOTE] == []


BYTES = {
    "PRJ001": lambda text: text.encode() + b"#" * (5 << 20),
    "PRJ002": lambda text: text.encode("utf-16"),
}
"""Examples about the bytes of a file, which no fragment can hold."""


@pytest.mark.parametrize("code", sorted(BYTES))
def test_an_example_of_bytes_trips_its_rule(code, tmp_path):
    file = tmp_path / "project.yaml"
    file.write_bytes(BYTES[code](example_of(RULES[code])))
    assert [finding.code for finding in read_project(file).findings] == [code]


OF_LOGS = {"ASB007"}
"""Examples about the bench log beside a file."""


@pytest.mark.parametrize("code", sorted(OF_LOGS))
def test_an_example_of_a_log_trips_its_rule(code, tmp_path):
    (tmp_path / "project.yaml").write_text(SOUND, encoding="utf-8")
    (tmp_path / "project.log.sqlite").write_text(example_of(RULES[code]), encoding="utf-8")
    found = read_project(tmp_path / "project.yaml").findings
    assert code in {finding.code for finding in found}


OF_PICTURES = {code for code in RULES if code.startswith(("TRC", "PHO"))}
"""Examples are calls of ``trace`` and ``photo``; pictures trip these codes in tests/trace."""


@pytest.mark.parametrize("code", sorted(OF_PICTURES))
def test_an_example_of_a_picture_is_a_call_the_command_line_takes(code):
    name, *words = shlex.split(example_of(RULES[code]))[1:]
    context = command.commands[name].make_context(name, words)
    assert context.params["pictures"]


@pytest.mark.parametrize("code", sorted(set(RULES) - set(BYTES) - OF_LOGS - OF_PICTURES))
def test_the_example_trips_its_rule(code):
    seen = [codes_of(*text) for text in over_the_sound_project(example_of(RULES[code]))]
    assert any(code in codes for codes in seen), seen


@pytest.mark.parametrize("code", sorted(RULES))
def test_the_page_has_every_section_with_a_known_source(code):
    page = dict(sections(RULES[code]))
    assert list(page) == HEADINGS
    assert all(page.values())
    assert set(re.findall(r"\[([^]]+)\]", page["Source"])) <= set(SOURCES)
