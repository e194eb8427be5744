"""Makes the generated pages of the reference from the code; with --check only compares them.

Run by ``make docs`` and, with ``--check``, by ``make lint``. In the hand-written pages it renews
every block that stands under a line ``<!-- shown by: lamphouse ... -->``: the command is run in a
folder that holds the demo, and the block shows it with its answer.
"""

import importlib
import inspect
import json
import os
import pkgutil
import re
import shlex
import sys
import tempfile
import textwrap
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import click
from click.testing import CliRunner

import lamphouse
from lamphouse.cli.main import command
from lamphouse.findings import RULES, Rule
from lamphouse.outputs import answer, planfile
from lamphouse.project import schema
from lamphouse.sources import SOURCES

DOCS = Path(__file__).parent
REFERENCE = DOCS / "reference"
BY_HAND = ("tutorial.md", "how-to.md", "../README.md")
SHOWN = re.compile(
    r"(?P<mark><!-- shown by: (?P<line>lamphouse [^\n]*) -->\n```text\n)(?P<text>.*?)(?=^```$)",
    re.DOTALL | re.MULTILINE,
)
MADE = "<!-- Made by docs/generate.py; do not edit. -->\n\n"


def pages() -> dict[str, str]:
    """Give every generated file by its name under docs/reference."""
    load_every_rule()
    return {
        "commands.md": MADE + commands_page(),
        "fields.md": MADE + fields_page(),
        "findings.md": MADE + findings_index(),
        **{f"findings/{code}.md": MADE + rule_page(rule) for code, rule in sorted(RULES.items())},
        "sources.md": MADE + sources_page(),
        "schema/project.json": as_json(schema.project_schema()),
        "schema/plan.json": as_json(planfile.schema()),
        "schema/answer.json": as_json(answer.schema()),
    }


def load_every_rule() -> None:
    """Import the whole package, so that every rule is registered."""
    for module in pkgutil.walk_packages(lamphouse.__path__, "lamphouse."):
        importlib.import_module(module.name)


def as_json(value: Mapping[str, object]) -> str:
    """Give JSON as it is stored."""
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"


def commands_page() -> str:
    """Give the help of every command as the terminal shows it."""
    parts = ["# Commands\n"]
    for name, sub in [("", command), *named_commands(command)]:
        title = f"lamphouse {name}".strip()
        context = click.Context(sub, info_name=title, max_content_width=96, terminal_width=96)
        help_text = "\n".join(line.rstrip() for line in sub.get_help(context).splitlines())
        parts.append(f"## {title}\n\n```text\n{help_text}\n```\n")
    return "\n".join(parts)


def named_commands(group: click.Group, *, before: str = "") -> Iterator[tuple[str, click.Command]]:
    """Give every command with its name, those of a group after the group."""
    for name, sub in sorted(group.commands.items()):
        yield f"{before}{name}", sub
        if isinstance(sub, click.Group):
            yield from named_commands(sub, before=f"{before}{name} ")


def rule_page(rule: Rule) -> str:
    """Give the page of one code from its rule's docstring."""
    lines = [f"# {rule.code}: {rule.title}", "", f"Severity: **{rule.severity}**", ""]
    if not rule.can_be_accepted:
        lines += ["It guards against harm or an unreadable file and cannot be accepted.", ""]
    for heading, body in sections(rule):
        text = body.replace("``", "`")
        if heading == "Example":
            example = textwrap.dedent(body.split("::\n", 1)[1]).strip("\n")
            kind = "sh" if example.startswith("lamphouse ") else "yaml"
            text = f"```{kind}\n{example}\n```"
        lines += [f"## {heading}", "", text, ""]
    return "\n".join(lines)


def sections(rule: Rule) -> Iterator[tuple[str, str]]:
    """Split a rule's docstring into its headings and their texts."""
    heading, body = "", []
    _, _, after_summary = inspect.cleandoc(rule.page).partition("\n")
    for line in after_summary.splitlines():
        if line and not line.startswith(" "):
            if heading:
                yield heading, textwrap.dedent("\n".join(body)).strip("\n")
            heading, body = line, []
        else:
            body.append(line)
    yield heading, textwrap.dedent("\n".join(body)).strip("\n")


def findings_index() -> str:
    """Give the list of all codes."""
    rows = "\n".join(
        f"| [{code}](findings/{code}.md) | {rule.severity} | {rule.title} |"
        for code, rule in sorted(RULES.items())
    )
    return f"# Findings\n\n| code | severity | what it says |\n| --- | --- | --- |\n{rows}\n"


def sources_page() -> str:
    """Give the bibliography."""
    rows = "\n".join(
        f"| `{key}` | {source.citation} | {source.note} |"
        for key, source in sorted(SOURCES.items())
    )
    return f"# Sources\n\n| key | citation | how it was read |\n| --- | --- | --- |\n{rows}\n"


def fields_page() -> str:
    """Give every field of the project file: key, what it takes, default, help."""
    whole = schema.project_schema()
    kinds = whole["$defs"]
    order = ["", *dict.fromkeys(nested(whole, kinds))]
    parts = ["# Fields of the project file\n"]
    for name in order:
        kind = kinds[name] if name else whole
        required = kind.get("required", [])
        parts.append(f"## {title_of(name)}\n\n{kind.get('description', '')}\n")
        parts.append("| key | takes | when left out | meaning |\n| --- | --- | --- | --- |")
        parts += [
            f"| `{key}` | {takes(field)} | {default(key, field, required)} "
            f"| {' '.join(field.get('description', '').split())} |"
            for key, field in kind["properties"].items()
        ]
        parts[-1] += "\n"
    return "\n".join(parts)


def nested(kind: Mapping[str, Any], kinds: Mapping[str, Any]) -> Iterator[str]:
    """Name the sections a section leads to, each before what is inside it."""
    for field in kind["properties"].values():
        for name in section_names(field):
            yield name
            yield from nested(kinds[name], kinds)


def section_names(field: object) -> Iterator[str]:
    """Name the sections that a field refers to, however deep."""
    if isinstance(field, Mapping):
        if "$ref" in field:
            yield field["$ref"].rpartition("/")[2]
        for inner in field.values():
            yield from section_names(inner)
    elif isinstance(field, list):
        for inner in field:
            yield from section_names(inner)


def title_of(name: str) -> str:
    """Put a section's name into words: ``SubAssemblyFields`` is a sub assembly."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.removesuffix("Fields"))
    return words.capitalize() or "The file"


def takes(field: Mapping[str, Any]) -> str:
    """Say in a few words what a field takes."""
    sections_in = [
        f"[{title_of(name)}](#{title_of(name).lower().replace(' ', '-')})"
        for name in dict.fromkeys(section_names(field))
    ]
    if "patternProperties" in field and sections_in:
        return f"names, each with a {' or '.join(sections_in)}"
    words = [f"`{as_written(word)}`" for word in field.get("examples") or field.get("enum", [])]
    kinds = field.get("type", [])
    plain = [kinds] if isinstance(kinds, str) else [kind for kind in kinds if kind != "null"]
    if "array" in plain and sections_in:
        return f"a list of {' or '.join(sections_in)}"
    if not words and not sections_in:
        words = ["a whole number" if "integer" in plain else "text"]
    return ", ".join([*sections_in, *words])


def as_written(example: object) -> str:
    """Give an example as the file would hold it."""
    if not isinstance(example, dict):
        return str(example)
    return f"{{{', '.join(f'{key}: {value}' for key, value in example.items())}}}"


def default(key: str, field: Mapping[str, object], required: list[str]) -> str:
    """Say what a field is when left out."""
    if key in required:
        return "**needed**"
    return f"`{field['default']}`" if field.get("default") not in (None, "", [], {}) else ""


def renewed(text: str) -> str:
    """Give a hand-written page with every shown answer as the command gives it now."""
    if not SHOWN.search(text):
        return text
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            return SHOWN.sub(lambda found: found["mark"] + shown(found["line"]), text)
        finally:
            os.chdir(before)


def shown(line: str) -> str:
    """Give a command and what it prints, long lines broken as a terminal breaks them."""
    words = shlex.split(line)[1:]
    told = CliRunner().invoke(command, words, terminal_width=96, prog_name="lamphouse")
    if told.exception and not isinstance(told.exception, SystemExit):
        raise told.exception
    rows = (
        textwrap.fill(row, 96, subsequent_indent=" " * 9, break_on_hyphens=False)
        if len(row) > 96
        else row.rstrip()
        for row in told.output.strip().splitlines()
    )
    return "\n".join((f"$ {line}", *rows)) + "\n"


def main() -> int:
    """Write the pages, or compare them."""
    made = {f"reference/{name}": text for name, text in pages().items()}
    for name in BY_HAND:
        made[name] = renewed((DOCS / name).read_text(encoding="utf-8"))
    stale = [
        name
        for name, text in made.items()
        if not (DOCS / name).is_file() or (DOCS / name).read_text(encoding="utf-8") != text
    ]
    kept = {path.relative_to(DOCS).as_posix() for path in REFERENCE.rglob("*.*")}
    surplus = sorted(kept - set(made))
    if "--check" in sys.argv[1:]:
        for name in stale + surplus:
            print(f"docs/{name} does not fit the code; run: make docs")
        return int(bool(stale or surplus))
    for name in surplus:
        (DOCS / name).unlink()
    for name in stale:
        path = DOCS / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(made[name], encoding="utf-8")
    print(f"docs: {len(stale)} pages written, {len(surplus)} removed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
