"""What ``lamphouse new`` writes: a commented project to start from, or a copy of a demo."""

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from lamphouse.project.gorge.model_text import MOST_MODULES, model_text
from lamphouse.project.write import set_value
from lamphouse.storage.atomic import write_file
from lamphouse.storage.refusal import put_into_words

_VERSIONS = ("project.yaml", "mended.yaml")
DEMOS: dict[str, tuple[str, ...]] = {
    "saltmarsh": _VERSIONS,
    "night-studio": _VERSIONS,
    "gorge": _VERSIONS,
}
"""The demo projects and the files of each: as first planned with its mistakes, and mended."""
PICTURES: dict[str, tuple[str, ...]] = {
    "saltmarsh": (
        "tide_chart.png",
        "pictures/bell-plate.jpg",
        "pictures/clock-bezel.jpg",
        "pictures/pipe-plate.jpg",
    )
}
"""Artwork, scans and photographs that come with a demo; the pictures of parts are made by
``docs/make_demo_scans.py`` from shapes that are known."""

GROWN: dict[str, Callable[..., str]] = {"gorge": model_text}
"""Demos of modules, each with what writes it for any number of them."""
MOST = MOST_MODULES
"""Modules of such a demo."""

_SCENARIOS = files("lamphouse.project") / "scenarios"


def starter_text(name: str = "") -> str:
    """Give the commented project, under a name of its own when one is given."""
    text = (_SCENARIOS / "starter.yaml").read_text(encoding="utf-8")
    return set_value(text, ("name",), name) if name else text


def demo_text(demo: str, file: str = "project.yaml") -> str:
    """Give a file of a demo project.

    Raises
    ------
    KeyError
        If there is no such demo or file.
    """
    if file not in DEMOS[demo]:
        raise KeyError(file)
    return (_SCENARIOS / demo.replace("-", "_") / file).read_text(encoding="utf-8")


def grown_text(demo: str, file: str = "project.yaml", *, modules: int) -> str:
    """Give a file of a demo that is made of modules, with so many of them.

    Raises
    ------
    KeyError
        If there is no such demo or file, or if it is not made of modules.
    ValueError
        If it cannot be written with so many.
    """
    if file not in DEMOS[demo]:
        raise KeyError(file)
    return GROWN[demo](modules=modules, planted=file == "project.yaml")


def demo_pictures(demo: str) -> dict[str, bytes]:
    """Give the pictures of a demo project by name; most have none."""
    folder = _SCENARIOS / demo.replace("-", "_")
    return {name: (folder / name).read_bytes() for name in PICTURES.get(demo, ())}


def start(folder: Path, *, demo: str | None = None, modules: int | None = None) -> tuple[Path, ...]:
    """Write a project into a folder, which is made when it is not there.

    Parameters
    ----------
    folder
        Its name becomes the model's name.
    demo
        A demo to copy; the commented starting project without.
    modules
        How many modules it is to have, for a demo of ``GROWN``; as it comes without.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    KeyError
        If there is no such demo, or it is not made of modules.
    ValueError
        If it cannot be written with so many modules.
    FileExistsError
        If the folder holds one of the files already; nothing is written then.
    StorageError
        If the disk refuses.
    """
    if demo is None:
        name = " ".join(folder.resolve().name.replace("-", " ").replace("_", " ").split())
        made = {"project.yaml": starter_text(name[:80].capitalize()).encode("utf-8")}
    else:
        texts = {
            file: demo_text(demo, file)
            if modules is None
            else grown_text(demo, file, modules=modules)
            for file in DEMOS[demo]
        }
        made = {file: text.encode("utf-8") for file, text in texts.items()}
        made |= demo_pictures(demo)
    with put_into_words(folder):
        there = [file for file in made if (folder / file).exists()]
    if there:
        taken = f"{folder / there[0]} is there already"
        raise FileExistsError(taken)
    for file, data in made.items():
        with put_into_words(folder):
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
        write_file(folder / file, data)
    return tuple(folder / file for file in made)
