"""Doctor: whether this installation is whole, and what the proofs need besides."""

import platform
import shutil
import subprocess
from collections.abc import Callable
from importlib import metadata

from lamphouse.outputs.answer_records import Symptom

LIBRARIES = (
    "click",
    "ezdxf",
    "msgspec",
    "numpy",
    "pillow",
    "pydantic",
    "pyyaml",
    "ruamel.yaml",
    "scipy",
    "shapely",
    "typst",
)
EXTRAS = (
    ("numba", "verify", "finds a glow again by random walks (glow --verify)"),
    ("spyrrow", "squeeze", "lays pieces closer on their sheets (pack --squeeze)"),
    ("opencv-python-headless", "trace", "reads pictures of parts (trace)"),
)
"""Libraries of an extra: the program runs without them."""
TOOLS = (
    ("pdftoppm", "-v", "poppler-utils", "measures the printed scale of the pack (tests)"),
    ("ngspice", "--version", "ngspice", "solves timer chips (prove), circuits once more (tests)"),
    ("avr-gcc", "--version", "gcc-avr and avr-libc", "compiles programs for an AVR (prove)"),
    ("cc", "--version", "gcc", "builds what loads them into the simulator (prove)"),
)
WAIT_S = 5


def examine() -> tuple[Symptom, ...]:
    """Look at the interpreter, the libraries, the package's own data and the outside programs."""
    libraries = tuple(_library(name) for name in LIBRARIES)
    tools = tuple(_outside(*tool) for tool in TOOLS)
    extras = tuple(_of_extra(*one) for one in EXTRAS)
    return (_interpreter(), *libraries, *_own_data(), *extras, *tools, *_runners())


def _runners() -> tuple[Symptom, ...]:
    """Look for what runs programs: an interpreter beside this Python, and a library."""
    from lamphouse.outputs.avr_proof import missing_tools
    from lamphouse.outputs.program_proof import micropython

    path = micropython()
    return (
        Symptom(
            name="micropython",
            needed=False,
            found=_version(str(path), "--version") if path else "",
            use="runs MicroPython programs (prove)",
            mend="install 'lamphouse[prove]'; all else runs without it",
        ),
        Symptom(
            name="libsimavr",
            needed=False,
            found="" if "libsimavr" in missing_tools() else "there",
            use="runs programs for an AVR (prove)",
            mend="install 'libsimavr-dev' and 'libelf-dev' from your system's packages; the "
            "program runs without them",
        ),
    )


def _interpreter() -> Symptom:
    return Symptom(
        name="python", needed=True, found=platform.python_version(), use="runs everything", mend=""
    )


def _installed(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return ""


def _of_extra(name: str, extra: str, use: str) -> Symptom:
    return Symptom(
        name=name,
        needed=False,
        found=_installed(name),
        use=use,
        mend=f"install 'lamphouse[{extra}]'; all else runs without it",
    )


def _library(name: str) -> Symptom:
    return Symptom(
        name=name,
        needed=True,
        found=_installed(name),
        use="a library the program stands on",
        mend=f"install the package '{name}' again",
    )


def _own_data() -> tuple[Symptom, ...]:
    from lamphouse.outputs import pdf
    from lamphouse.project import read

    def rows() -> str:
        shelf, faults = read.read_shelf(None)
        return "" if faults else f"{shelf.count()} rows"

    return (
        _trial("catalogue", rows, use="the built-in parts, each with its source"),
        _trial("font and typesetter", pdf.self_test, use="sets the pack"),
    )


def _trial(name: str, look: Callable[[], str], *, use: str) -> Symptom:
    try:
        found = look()
    except Exception as fault:
        found, mend = "", f"install lamphouse again ({type(fault).__name__}: {fault})"
    else:
        mend = "install lamphouse again"
    return Symptom(name=name, needed=True, found=found, use=use, mend=mend)


def _outside(name: str, ask: str, package: str, use: str) -> Symptom:
    path = shutil.which(name)
    found = _version(path, ask) if path else ""
    return Symptom(
        name=name,
        needed=False,
        found=found,
        use=use,
        mend=f"install '{package}' from your system's packages; the program runs without it",
    )


def _version(path: str, ask: str) -> str:
    """Give the first line with a digit that the program says of itself."""
    try:
        told = subprocess.run(
            [path, ask], capture_output=True, text=True, timeout=WAIT_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return "there, but it does not answer"
    lines = (told.stdout + told.stderr).splitlines()
    return next((line.strip(" *") for line in lines if any(map(str.isdigit, line))), "there")
