"""Makes the generated pages of the reference from the code; with --check only compares them.

Run by ``make docs`` and, with ``--check``, by ``make lint``.
"""

import importlib
import inspect
import json
import pkgutil
import sys
import textwrap
from collections.abc import Iterator, Mapping
from pathlib import Path

import click

import lamphouse
from lamphouse.cli.main import command
from lamphouse.findings import RULES, Rule
from lamphouse.outputs import answer, planfile
from lamphouse.project import schema
from lamphouse.sources import SOURCES

REFERENCE = Path(__file__).parent / "reference"
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
    for name, sub in [("", command), *sorted(command.commands.items())]:
        title = f"lamphouse {name}".strip()
        context = click.Context(sub, info_name=title, max_content_width=96, terminal_width=96)
        help_text = "\n".join(line.rstrip() for line in sub.get_help(context).splitlines())
        parts.append(f"## {title}\n\n```text\n{help_text}\n```\n")
    return "\n".join(parts)


def rule_page(rule: Rule) -> str:
    """Give the page of one code from its rule's docstring."""
    lines = [f"# {rule.code}: {rule.title}", "", f"Severity: **{rule.severity}**", ""]
    if not rule.can_be_accepted:
        lines += ["It guards against harm or an unreadable file and cannot be accepted.", ""]
    for heading, body in sections(rule):
        text = body.replace("::\n\n", "```yaml\n", 1).replace("``", "`") if heading else body
        if heading == "Example":
            text = "```yaml\n" + textwrap.dedent(body.split("::\n", 1)[1]).strip("\n") + "\n```"
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
    parts = ["# Fields of the project file\n"]
    for title, model in {"The file": whole, **whole.get("$defs", {})}.items():
        required = model.get("required", [])
        rows = [
            f"| `{key}` | {takes(field)} | {default(key, field, required)} "
            f"| {' '.join(field.get('description', '').split())} |"
            for key, field in model.get("properties", {}).items()
        ]
        if rows:
            parts.append(f"## {title}\n\n{model.get('description', '')}\n")
            parts.append("| key | takes | default | meaning |\n| --- | --- | --- | --- |")
            parts.append("\n".join(rows) + "\n")
    return "\n".join(parts)


def takes(field: Mapping[str, object]) -> str:
    """Say in a few words what a field takes."""
    return str(field.get("examples") or field.get("enum") or field.get("type") or "see schema")


def default(key: str, field: Mapping[str, object], required: list[str]) -> str:
    """Say what a field is when left out."""
    if key in required:
        return "**needed**"
    return f"`{field['default']}`" if field.get("default") not in (None, "", [], {}) else ""


def main() -> int:
    """Write the pages, or compare them."""
    made = pages()
    stale = [
        name
        for name, text in made.items()
        if not (REFERENCE / name).is_file()
        or (REFERENCE / name).read_text(encoding="utf-8") != text
    ]
    kept = {path.relative_to(REFERENCE).as_posix() for path in REFERENCE.rglob("*.*")}
    surplus = sorted(kept - set(made))
    if "--check" in sys.argv[1:]:
        for name in stale + surplus:
            print(f"docs/reference/{name} does not fit the code; run: make docs")
        return int(bool(stale or surplus))
    for name in surplus:
        (REFERENCE / name).unlink()
    for name in stale:
        path = REFERENCE / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(made[name], encoding="utf-8")
    print(f"docs/reference: {len(stale)} pages written, {len(surplus)} removed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
