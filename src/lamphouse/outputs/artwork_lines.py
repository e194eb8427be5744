"""What is told about artwork: how it reads as drawn and made for its lamp, and what is better."""

from collections.abc import Sequence

from lamphouse.colour.artwork_fit import Reading
from lamphouse.colour.print_rules import COARSE_DPI, ENOUGH
from lamphouse.design.panel import Layer, LayerKind
from lamphouse.outputs.artwork_tile import Tile, cropping_words
from lamphouse.plan.artworked import ArtworkStudy
from lamphouse.plan.print_spread import InkSpread, ink_spread
from lamphouse.plan.print_ways import PrintWay
from lamphouse.record import Record

INK_NAMES = ("cyan", "magenta", "yellow", "black")


class Readback(Record):
    """How the artwork reads when lit in its room."""

    difference: float
    """Mean CIEDE2000 from the colours as drawn."""
    chroma_kept: float
    """Chroma seen over chroma drawn."""


class ArtworkResult(Record):
    """The result of ``artwork``."""

    opening: str
    artwork: str
    printer: str
    films: int
    layers: tuple[str, ...]
    """From lamp to eye."""
    room_lx: float
    clear_cd_m2: float
    """Where the film carries no ink, lit, without the room's light."""
    light: float
    """Mean luminance of the picture, as made, over that of clear places, in the room."""
    black: float
    """Luminance of the darkest print over that of clear places, in the room."""
    as_drawn: Readback
    """Printed as it is."""
    as_made: Readback
    """Printed as made for the lamp."""
    out_of_reach: float
    """Share of the picture that no ink brings near the wanted look."""
    advice: str
    ways: tuple[PrintWay, ...]
    """Other ways, the best first."""
    inks: InkSpread
    """Densities, how sure they are, and what that makes of the print."""
    dpi: float
    width_mm: float
    """Of what is printed, bleed and marks included."""
    height_mm: float
    told: tuple[str, ...]
    """What was assumed, and what to know before printing."""
    folder: str
    """Where the pictures are; empty when none were asked for."""
    files: tuple[str, ...]


def result_of(
    study: ArtworkStudy,
    *,
    tile: Tile,
    ways: Sequence[PrintWay],
    folder: str = "",
    files: Sequence[str] = (),
) -> ArtworkResult:
    """Sum up one artwork."""
    printed = next(layer.printed for layer in study.layers if layer.printed)
    return ArtworkResult(
        opening=study.place.name,
        artwork=study.artwork.file,
        printer=str(printed.printer),
        films=study.films,
        layers=tuple(map(layer_words, study.layers)),
        room_lx=study.look.backlit.room_lx,
        clear_cd_m2=study.look.backlit.clear_cd_m2,
        light=study.as_made.light,
        black=study.look.black,
        as_drawn=_readback(study.as_drawn),
        as_made=_readback(study.as_made),
        out_of_reach=study.as_made.out_of_reach,
        advice=advice(study, ways=ways),
        ways=tuple(ways),
        inks=ink_spread(study),
        dpi=tile.dpi,
        width_mm=tile.width_mm,
        height_mm=tile.height_mm,
        told=tuple(told(study, tile=tile)),
        folder=folder,
        files=tuple(sorted(files)),
    )


def _readback(reading: Reading) -> Readback:
    return Readback(difference=reading.difference, chroma_kept=reading.chroma_kept)


def layer_words(layer: Layer) -> str:
    """Name a layer with how many of it there are: ``2 print film, printed``."""
    count = f"{layer.count} " if layer.count > 1 else ""
    coats = " coats" if layer.count > 1 and layer.kind is LayerKind.TINT else ""
    return f"{count}{layer.film.name}{coats}{', printed' if layer.printed else ''}"


def way_words(way: PrintWay) -> str:
    """Name a way: ``2 films, red gel, warm white 0603``."""
    films = "1 film" if way.films == 1 else f"{way.films} films"
    return ", ".join(part for part in (films, way.gel, way.led) if part)


def advice(study: ArtworkStudy, *, ways: Sequence[PrintWay]) -> str:
    """Say whether ink alone does it, and else what would."""
    own = study.as_made.out_of_reach
    if not study.falls_short:
        return "ink alone reaches the wanted look"
    films = "one film" if study.films == 1 else f"{study.films} films"
    short = f"ink alone on {films} leaves {own:.0%} of the picture out of reach"
    good = [way for way in ways if way.out_of_reach <= ENOUGH]
    better = good or [way for way in ways if way.out_of_reach <= own / 2.0]
    if not better:
        return f"{short}, and nothing in the catalogue halves that; choose lighter, paler colours"
    best = min(better, key=_changes)
    return (
        f"{short}; {way_words(best)} would leave {best.out_of_reach:.0%}, "
        f"with {best.light:.0%} of the light"
    )


def _changes(way: PrintWay) -> tuple[int, float]:
    """Count what a way asks for; the fewest films and changes go first."""
    return way.films + bool(way.gel) + bool(way.led), way.difference


def ink_words(inks: InkSpread) -> list[str]:
    """Say what the inks are taken for, how sure that is, and how to know better."""
    named = ", ".join(
        f"{name} {solid:.2f} ±{share:.0%}"
        for name, solid, share in zip(INK_NAMES, inks.solids, inks.off, strict=True)
    )
    apart = (
        f"with all of them so much thinner the mean difference is {inks.thinner.difference:.1f}, "
        f"so much denser {inks.denser.difference:.1f}"
    )
    told = f"{named}, as densities on one pass; {apart}"
    if inks.chart:
        met = f"whose readings are met within {inks.missed:.0%}"
        return [f"inks by the chart '{inks.chart}', {met}: {told}"]
    chart = (
        "print the chart (lamphouse card chart.pdf --prints), photograph it and write its readings"
    )
    return [
        f"inks and printer are guesses of their kind: {told}",
        f"for your own inks {chart} under charts; or hold a printed strip before the lamp first",
    ]


def told(study: ArtworkStudy, *, tile: Tile) -> list[str]:
    """List what was assumed, and what to know before printing."""
    words = list(study.artwork.assumed)
    cropped = cropping_words(tile)
    if cropped:
        words.append(cropped)
    rows, columns = tile.drawn.shape[:2]
    own_dpi = tile.dpi * min(study.artwork.columns / columns, study.artwork.rows / rows)
    if own_dpi < COARSE_DPI:
        words.append(
            f"the picture has {own_dpi:.0f} pixels per inch of its printed size; "
            f"below {COARSE_DPI:.0f} they show"
        )
    words += ink_words(ink_spread(study))
    words.append("print at 100 %, colours not managed by the printer twice, and measure the rulers")
    return words
