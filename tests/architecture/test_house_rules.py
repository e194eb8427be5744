"""House rules that no linter knows: names, opening sentences, sizes, and words that stay out."""

import ast
import re
import subprocess
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src" / "lamphouse").rglob("*.py"))
MODULES = [path for path in SOURCES if path.name != "__init__.py"]
SAYS_NOTHING = {"utils", "util", "helpers", "helper", "common", "misc", "core", "base", "manager"}
LONGEST_FILE = 500


def ident(path):
    return path.relative_to(ROOT / "src").as_posix()


@pytest.mark.parametrize("path", SOURCES, ids=ident)
def test_a_module_opens_with_one_sentence(path):
    words = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert words
    assert words.splitlines()[0].endswith(".")


def test_module_names_are_unique_and_say_something():
    names = Counter(path.stem for path in MODULES)
    names.update(path.parent.name for path in SOURCES if path.name == "__init__.py")
    assert [name for name, count in names.items() if count > 1] == []
    assert not SAYS_NOTHING & set(names)


@pytest.mark.parametrize("path", MODULES, ids=ident)
def test_a_file_holds_one_noun(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE


@pytest.mark.parametrize(
    "folder", sorted({path.parent for path in MODULES} - {ROOT / "src/lamphouse"}), ids=ident
)
def test_a_room_lists_its_modules(folder):
    listed = ast.get_docstring(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
    modules = {path.stem for path in folder.glob("*.py")} - {"__init__"}
    assert modules <= set(re.findall(r"^- ``(\w+)``", listed, re.MULTILINE))


def test_no_tracked_file_holds_a_machine_path_or_a_host():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split()
    if not tracked:
        pytest.skip("not a git checkout")
    bad = re.compile(
        r"/(?:home|root|work|Users)/\w|(?:pypi|pythonhosted|npmjs|debian)\.(?:org|com)"
    )
    here = Path(__file__).relative_to(ROOT).as_posix()
    texts = {
        name: (ROOT / name).read_bytes().decode("utf-8", errors="ignore")
        for name in tracked
        if name != here and (ROOT / name).is_file()
    }
    assert [name for name, text in texts.items() if bad.search(text)] == []
