"""Where a project's bench log and its photographs lie."""

from pathlib import Path


def log_path(project_file: Path) -> Path:
    """Give the place of a project's log: beside its file, ``project.log.sqlite``."""
    return project_file.with_name(f"{project_file.stem}.log.sqlite")


def photo_folder(project_file: Path) -> Path:
    """Give the folder of the log's photographs: beside the project file, ``project.log``."""
    return project_file.with_name(f"{project_file.stem}.log")
