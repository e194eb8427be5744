"""What ``lamphouse new`` writes: a commented project to start from, or a copy of a demo."""

from importlib.resources import files
from pathlib import Path

from lamphouse.project.write import set_value
from lamphouse.storage.atomic import write_file
from lamphouse.storage.refusal import put_into_words

DEMOS: dict[str, tuple[str, ...]] = {"saltmarsh": ("project.yaml", "mended.yaml")}
"""The demo projects and the files of each."""

PICTURES: dict[str, tuple[str, ...]] = {
    "saltmarsh": ("bell-plate.jpg", "clock-bezel.jpg", "pipe-plate.jpg")
}
"""The scans and photographs of parts that come with a demo, in its folder ``pictures``; made by
``docs/make_demo_scans.py`` from shapes that are known."""

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
    return (_SCENARIOS / demo / file).read_text(encoding="utf-8")


def demo_picture(demo: str, file: str) -> bytes:
    """Give a picture of a part of a demo project.

    Raises
    ------
    KeyError
        If there is no such demo or picture.
    """
    if file not in PICTURES[demo]:
        raise KeyError(file)
    return (_SCENARIOS / demo / "pictures" / file).read_bytes()


def start(folder: Path, *, demo: str | None = None) -> tuple[Path, ...]:
    """Write a project into a folder, which is made when it is not there.

    Parameters
    ----------
    folder
        Its name becomes the model's name.
    demo
        A demo to copy; the commented starting project without.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    KeyError
        If there is no such demo.
    FileExistsError
        If the folder holds one of the files already; nothing is written then.
    StorageError
        If the disk refuses.
    """
    if demo is None:
        name = " ".join(folder.resolve().name.replace("-", " ").replace("_", " ").split())
        whole = {"project.yaml": starter_text(name[:80].capitalize()).encode("utf-8")}
    else:
        whole = {file: demo_text(demo, file).encode("utf-8") for file in DEMOS[demo]}
        whole |= {f"pictures/{file}": demo_picture(demo, file) for file in PICTURES[demo]}
    for file in whole:
        if (folder / file).exists():
            taken = f"{folder / file} is there already"
            raise FileExistsError(taken)
    for file, content in whole.items():
        with put_into_words(folder):
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
        write_file(folder / file, content)
    return tuple(folder / file for file in whole)
