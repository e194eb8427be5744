"""Mutates project files and reads each mutant: findings or a plan, nothing else.

Every tenth mutant each is of Saltmarsh, of its mended file, of Night Studio, and of one module of
Gorge, and of ``light_boxes.yaml`` beside this file, whose one light box has a finish per face, a
pillar, a hanging and a standing baffle and tilted LEDs; the others are of the small project that
``lamphouse new`` starts with, in which a change more often hits something.

Usage: ``python fuzz/project_file.py N SEED``, with ``--light-boxes`` for mutants of that one file
alone. Every mutant must end in a reading, within 10 s and 1 GiB; where there is a design, the plan
is made from it too. A mutant is known by its seed and number, so each failure can be run again:
``python fuzz/project_file.py 1 SEED NUMBER``.
"""

import argparse
import resource
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np

from lamphouse.findings import Finding, Severity
from lamphouse.plan import make
from lamphouse.plan.kept import Kept
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text, grown_text, starter_text
from lamphouse.project.tree import decode

LONGEST_S = 10.0
MOST_MIB = 1024
PORTION = 2000
"""Mutants after which the figures so far are told."""

TOKENS = (
    *(
        "{",
        "}",
        "[",
        "]",
        ",",
        ":",
        ": ",
        "- ",
        "#",
        " #",
        "&a ",
        "*a",
        "!!str ",
        "|",
        ">",
        "%",
        "@",
    ),
    *("'", '"', "\\", "---\n", "...\n", "? ", "<<: ", "\t", "\n", "\r", "\r\n", "\n\n", " ", "  "),
    *("null", "~", "true", "no", ".nan", ".inf", "NaN", "1e999", "-1e999", "0x1F", "0o17", "1_000"),
    *(
        "0",
        "-1",
        "1000000000",
        "99999999999999999999",
        "0.0000001",
        "1e-300",
        "1/0",
        "#75",
        "\u0661",
    ),
    *(" mm", " m", " km", " in", " mA", " A", " MA", " V", " ohm", " %", " real", " x ", " to "),
    *(
        "../../etc/passwd",
        "C:\\con",
        "/",
        "a" * 300,
        "\u202e",
        "\u200b",
        "\x00",
        "\x1b[31m",
        "\ufeff",
    ),
    *("\u2028", "\x85", "\U0001f4a1", "\u00e9", "${HOME}", "{{7*7}}", "; rm -rf", "<b>", "=1+1"),
    *(
        "points: [[0 mm, 0 mm], [1 mm, 0 mm], {via: [1 mm, 1 mm], to: [0 mm, 1 mm]}]",
        "slot 4 x 20 mm",
    ),
    *(
        "count: 1000000000",
        "holes_from: 9",
        "period: 0 s",
        "lamphouse: 0",
        "lamphouse: 2",
        "name: a",
    ),
)

LIGHT_BOXES = Path(__file__).with_name("light_boxes.yaml")
"""A file with every key of what stands in a light box and how its faces are finished."""

Generator = np.random.Generator
Mutation = Callable[[str, Generator], str]


def _spot(text: str, rng: Generator) -> int:
    return int(rng.integers(0, len(text) + 1))


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def drop_sign(text: str, rng: Generator) -> str:
    """Drop a few signs."""
    at = _spot(text, rng)
    return text[:at] + text[at + int(rng.integers(1, 6)) :]


def swap_sign(text: str, rng: Generator) -> str:
    """Put any sign in the place of another."""
    at = _spot(text, rng)
    return text[:at] + chr(int(rng.integers(0, 0x250))) + text[at + 1 :]


def put_token(text: str, rng: Generator) -> str:
    """Put a token that means something somewhere."""
    at = _spot(text, rng)
    return text[:at] + str(rng.choice(TOKENS)) + text[at:]


def swap_value(text: str, rng: Generator) -> str:
    """Put a token in the place of a word or a number."""
    at = _spot(text, rng)
    end = at
    while end < len(text) and text[end] not in " ,:{}[]\n":
        end += 1
    return text[:at] + str(rng.choice(TOKENS)) + text[end:]


def swap_number(text: str, rng: Generator) -> str:
    """Multiply a number by a power of ten, or turn its sign."""
    digits = [at for at, sign in enumerate(text) if sign.isdigit()]
    if not digits:
        return text
    at = int(rng.choice(digits))
    new = str(rng.choice(("0", "-", "9" * 12, "1e", ".", ",", "000", "1:", "\u00bd")))
    return text[:at] + new + text[at + int(rng.integers(0, 2)) :]


def drop_line(text: str, rng: Generator) -> str:
    """Drop a line."""
    lines = _lines(text)
    del lines[int(rng.integers(0, len(lines)))]
    return "".join(lines)


def double_line(text: str, rng: Generator) -> str:
    """Write a line twice."""
    lines = _lines(text)
    at = int(rng.integers(0, len(lines)))
    return "".join([*lines[:at], lines[at], *lines[at:]])


def move_line(text: str, rng: Generator) -> str:
    """Put a line elsewhere."""
    lines = _lines(text)
    line = lines.pop(int(rng.integers(0, len(lines))))
    lines.insert(int(rng.integers(0, len(lines) + 1)), line)
    return "".join(lines)


def shift_line(text: str, rng: Generator) -> str:
    """Indent a line more or less."""
    lines = _lines(text)
    at = int(rng.integers(0, len(lines)))
    by = int(rng.integers(1, 5))
    lines[at] = " " * by + lines[at] if rng.integers(0, 2) else lines[at][by:]
    return "".join(lines)


def copy_block(text: str, rng: Generator) -> str:
    """Write a piece of the text elsewhere once more."""
    start, at = _spot(text, rng), _spot(text, rng)
    piece = text[start : start + int(rng.integers(1, 600))]
    return text[:at] + piece + text[at:]


def cut_off(text: str, rng: Generator) -> str:
    """End the file early."""
    return text[: _spot(text, rng)]


def nest(text: str, rng: Generator) -> str:
    """Put brackets in brackets somewhere."""
    at, depth = _spot(text, rng), int(rng.integers(2, 3000))
    opening, closing = (("[", "]"), ("{a: ", "}"), ("- ", ""))[int(rng.integers(0, 3))]
    return text[:at] + opening * depth + closing * depth + text[at:]


def bomb(text: str, rng: Generator) -> str:
    """Put aliases of aliases in front."""
    names = [f"b{level}" for level in range(int(rng.integers(2, 12)))]
    rows = [f"x0: &{names[0]} [a, a, a, a, a, a, a, a]"]
    rows += [
        f"x{level}: &{name} [{', '.join([f'*{names[level - 1]}'] * 9)}]"
        for level, name in enumerate(names)
        if level
    ]
    return "\n".join([*rows, text])


def swell(text: str, rng: Generator) -> str:
    """Repeat a sign or a line many times."""
    at = _spot(text, rng)
    piece = str(rng.choice(("a", " ", "\n", "# x\n", "- x\n", "[", "'", "1", ": ", "\u00e9")))
    return text[:at] + piece * int(rng.integers(100, 20_000)) + text[at:]


MUTATIONS: tuple[Mutation, ...] = (
    *(drop_sign, swap_sign, put_token, swap_value, swap_value, swap_number, swap_number),
    *(drop_line, double_line, move_line, shift_line, copy_block, cut_off, nest, bomb, swell),
)
"""What can be done to a text; the likelier ones stand twice."""

ENCODINGS = ("utf-8",) * 12 + ("utf-16", "latin-1", "utf-8-sig", "cp1252")


def mutant(text: str, *, seed: int, number: int) -> bytes:
    """Make the mutant of a number: one to three changes, mostly in UTF-8."""
    rng = np.random.default_rng((seed, number))
    for _ in range(int(rng.choice((1, 1, 1, 1, 2, 3)))):
        change = MUTATIONS[int(rng.integers(0, len(MUTATIONS)))]
        if text:
            text = change(text, rng)
    data = text.encode(str(rng.choice(ENCODINGS)), errors="replace")
    if rng.integers(0, 20) == 0 and data:
        at = int(rng.integers(0, len(data)))
        data = data[:at] + bytes([int(rng.integers(0, 256))]) + data[at + 1 :]
    return data


def outcome(data: bytes, *, kept: Kept | None = None) -> str:
    """Read a mutant as the commands do, and say what came of it.

    Steps of the plan that ``kept`` has seen with the same inputs are not run again.

    Raises
    ------
    Exception
        Whatever must not happen.
    """
    text, refused = decode(data, file="project.yaml")
    if refused:
        return _checked("not read", refused)
    reading = read_text(text, file="project.yaml")
    if reading.design is None:
        return _checked("no design", reading.findings)
    plan = make.plan(reading.design, found=reading.findings, kept=kept)
    stopped = any(found.severity is Severity.STOP for found in plan.findings)
    _checked("", plan.findings)
    return "plan with stops" if stopped else "plan"


def _checked(words: str, findings: tuple[Finding, ...]) -> str:
    """Every refusal has a reason, and every finding can be printed."""
    if words and not findings:
        silent = f"{words} without a finding"
        raise AssertionError(silent)
    for found in findings:
        if not (str(found).encode("utf-8") and found.message and found.remedy):
            mute = f"{found.code} says nothing"
            raise AssertionError(mute)
    return words


def bases() -> list[str]:
    """Give the texts whose mutants are read in turn."""
    large = [
        demo_text("saltmarsh"),
        demo_text("saltmarsh", "mended.yaml"),
        demo_text("night-studio"),
        grown_text("gorge", modules=1),
    ]
    return [*large, LIGHT_BOXES.read_text(encoding="utf-8"), *[starter_text()] * 5]


def run(
    count: int, *, seed: int, first: int = 0, only: str = ""
) -> tuple[Counter[str], float, list[str]]:
    """Read mutants, of one text ``only`` where there is one.

    Gives how they ended, the longest time in s, and every failure.
    """
    texts = [only] if only else bases()
    kept = [Kept() for _ in texts]
    ends: Counter[str] = Counter()
    longest, failures = 0.0, []
    for number in range(first, first + count):
        begin = time.process_time()
        try:
            base = number % len(texts)
            data = mutant(texts[base], seed=seed, number=number)
            ends[outcome(data, kept=kept[base])] += 1
        except Exception:
            ends["failed"] += 1
            failures.append(f"seed {seed} number {number}\n{traceback.format_exc()}")
        took = time.process_time() - begin
        longest = max(longest, took)
        if took > LONGEST_S:
            failures.append(f"seed {seed} number {number} took {took:.1f} s")
    return ends, longest, failures


def own_peak_mib() -> float:
    """Give the most memory this program held, in MiB.

    The system's account of a process (``ru_maxrss``) begins with what its parent held when it was
    started, so a test run of 1 GiB would be told as this program's own; the kernel's mark on the
    memory of this program alone is used where there is one.
    """
    status = Path("/proc/self/status")
    if status.exists():
        marks = dict(line.split(":", 1) for line in status.read_text().splitlines())
        if "VmHWM" in marks:
            return float(marks["VmHWM"].split()[0]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> int:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("first", type=int, nargs="?", default=0)
    parser.add_argument("--light-boxes", action="store_true")
    given = parser.parse_args()
    only = LIGHT_BOXES.read_text(encoding="utf-8") if given.light_boxes else ""
    ends: Counter[str] = Counter()
    longest, failed = 0.0, 0
    for done in range(0, given.count, PORTION):
        size = min(PORTION, given.count - done)
        some, slowest, failures = run(size, seed=given.seed, first=given.first + done, only=only)
        ends += some
        longest, failed = max(longest, slowest), failed + len(failures)
        for failure in failures[:20]:
            print(failure)
        print(f"{done + size} mutants of seed {given.seed}: {dict(ends.most_common())}")
        print(
            f"longest {longest:.2f} s, peak {own_peak_mib():.0f} MiB, {failed} failures", flush=True
        )
    return 1 if failed or own_peak_mib() > MOST_MIB else 0


if __name__ == "__main__":
    sys.exit(main())
