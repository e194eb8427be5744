"""The answer of artwork as text for a terminal."""

from collections.abc import Iterator, Mapping
from typing import Any

from lamphouse.cli import screen


def artwork(result: Mapping[str, Any]) -> str:
    """Say how the artwork reads, what would do better, and what to know before printing."""
    return "\n".join(_lines(result))


def _lines(result: Mapping[str, Any]) -> Iterator[str]:
    films = "one film" if result["films"] == 1 else f"{result['films']} films"
    yield f"{result['opening']}: {result['artwork']} on {films}, {result['printer']}"
    yield f"layers from the lamp: {', '.join(result['layers'])}"
    yield (
        f"clear places {result['clear_cd_m2']:.3g} cd/m2 lit; at {result['room_lx']:g} lx the "
        f"picture has {result['light']:.0%} of that on the mean, and black {result['black']:.2%}"
    )
    drawn, made = result["as_drawn"], result["as_made"]
    yield screen.table(
        ("printed", "mean difference", "colour kept"),
        [
            ("as drawn", f"{drawn['difference']:.1f}", f"{drawn['chroma_kept']:.0%}"),
            ("made for the lamp", f"{made['difference']:.1f}", f"{made['chroma_kept']:.0%}"),
        ],
    )
    yield f"out of reach: {result['out_of_reach']:.0%} of the picture"
    yield result["advice"]
    if result["ways"]:
        yield "other ways, the artwork made for each; light is that of clear places at equal flux:"
        yield screen.table(
            ("films", "gel", "LEDs", "difference", "colour kept", "out of reach", "light"),
            [
                (
                    str(way["films"]),
                    way["gel"],
                    way["led"] or "its own",
                    f"{way['difference']:.1f}",
                    f"{way['chroma_kept']:.0%}",
                    f"{way['out_of_reach']:.0%}",
                    f"{way['light']:.0%}",
                )
                for way in result["ways"]
            ],
        )
    size = f"{result['width_mm']:.1f} x {result['height_mm']:.1f} mm"
    yield f"to print, with bleed and marks: {size} at {result['dpi']:g} dots per inch"
    yield from (f"- {words}" for words in result["told"])
    if result["files"]:
        yield f"wrote {len(result['files'])} files to {result['folder']}; start with print.pdf"
