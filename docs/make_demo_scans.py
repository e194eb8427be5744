"""Makes the demo's scans and its photograph of parts from shapes that are known exactly.

Run by hand with the extra ``trace``, and only when the shapes change: other versions of the image
library may pack the same pixels otherwise. Every picture is synthetic: rendered
from a seed with paper texture, noise, blur, uneven light, JPEG and, in the photograph, tilt, side
walls of the part and a bent lens. The shapes stand in ``tests/trace/demo_parts.py``, where a test
compares what is traced with them.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "trace"))

from demo_parts import PICTURES
from part_pictures import packed

FOLDER = Path(__file__).parents[1] / "src/lamphouse/project/scenarios/saltmarsh/pictures"


def main() -> None:
    """Render every picture of the demo."""
    FOLDER.mkdir(exist_ok=True)
    for picture in PICTURES:
        data = packed(picture.shot.pixels(), quality=picture.quality)
        (FOLDER / picture.name).write_bytes(data)
        print(f"{picture.name}: {len(data) / 1024:.0f} kB")


if __name__ == "__main__":
    main()
