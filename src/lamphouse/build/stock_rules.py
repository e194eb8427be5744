"""The rules of what is at hand: films that run out, and prices whose pack does not fit the part."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from math import dist

from lamphouse.build.buying import pack_in, price_of
from lamphouse.build.film_rows import FilmPiece, without_room
from lamphouse.build.model_uses import FILM_MARGIN_MM
from lamphouse.build.parts import PartLine
from lamphouse.catalogue.film_types import FILM
from lamphouse.cutting.piece import Piece
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.panel import LayerKind
from lamphouse.design.prices import PartPrice
from lamphouse.design.whole import Design, SheetInHand
from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.shapes.measure import size_mm

_MOST_MORE = 20
"""More sheets than this are not tried."""


@rule("PAR001", Severity.WARN, "A film at hand runs out")
def film_runs_out(design: Design, *, pieces: Sequence[Piece]) -> Iterable[Told]:
    """Look for films on the stock list that do not reach for all that is cut from them.

    What it checks
        Every layer, passage, inner diffuser and mask cut from a film of the stock list finds room
        on its sheets, laid in rows with the gap and the edge of the project; a layer reaches 3 mm
        past its opening. A film that the list does not name is left to the parts list.

    Why it matters
        The last screen is then cut from another batch, and shows it, or waits for the post.

    Example
        ::

            stock:
              - {sheet: opal film 60, size: 30 x 20 mm}

    Mend
        Put the sheets of the message on the stock list when you have them.

    Source
        Geometry; rows are laid by first fit, so that a tight cutter may get by with less.
    """
    wanted: dict[str, list[FilmPiece]] = defaultdict(list)
    for film, piece in film_pieces(design, pieces=pieces):
        wanted[film].append(piece)
    for film, needed in wanted.items():
        own = [one for one in design.sheets if one.sheet.name == film]
        if own:
            yield from _short(film, needed, own=own, habits=design.cutting)


@rule("PAR002", Severity.WARN, "A price whose pack does not fit the part")
def pack_does_not_fit(prices: Sequence[PartPrice], *, parts: Sequence[PartLine]) -> Iterable[Told]:
    """Look for prices that say nothing of the part they name.

    What it checks
        What a pack holds is told in what the parts list counts: pieces, metres, square centimetres
        or millilitres. Sheets may be told by their number or their size.

    Why it matters
        The packs to buy and their cost cannot be counted, and the part has no price.

    Example
        ::

            prices:
              - {part: opal film 60, pack: 10, price: 6.00 EUR}

    Mend
        Write what the pack holds in the unit of the message.

    Source
        Design rule of this project.
    """
    for part in parts:
        price = price_of(part, prices=prices)
        if price is None or part.kind == "sheet" or pack_in(part.unit, price=price) is not None:
            continue
        example = {"m": "10 m", "cm2": "210 x 297 mm", "ml": "17 ml"}.get(part.unit, "100")
        yield Told(
            where=price.where,
            message=f"a pack of '{part.part}' holds {price.pack:g} {price.unit}, and the parts "
            f"list counts it in {part.unit}",
            remedy=f"write the pack as in pack: {example}",
        )


def film_pieces(design: Design, *, pieces: Sequence[Piece]) -> Iterator[tuple[str, FilmPiece]]:
    """List every rectangle of film by the film's name: pieces, layers, passages."""
    for piece in pieces:
        if piece.sheet.material == FILM:
            width, height = size_mm(piece.outline.corners)
            one = FilmPiece(where=piece.where, name=piece.name, width_mm=width, height_mm=height)
            for _ in range(piece.count):
                yield piece.sheet.name, one
    for sub in design.sub_assemblies:
        for panel in sub.panels:
            for opening in panel.openings:
                size = size_mm(opening.outline.corners)
                for layer in opening.layers:
                    if layer.kind is not LayerKind.TINT:
                        one = _over(opening.where, opening.name, size)
                        for _ in range(layer.count):
                            yield layer.film.name, one
        for _, box in sub.boxes:
            for passage in box.passages:
                if passage.film:
                    size = (
                        dist(passage.start_mm, passage.end_mm),
                        passage.high_mm - passage.low_mm,
                    )
                    yield passage.film.name, _over(passage.where, passage.name, size)


def _over(where: Where, name: str, size_mm: tuple[float, float]) -> FilmPiece:
    """Give the rectangle of film for an opening with its margin."""
    width, height = (side + 2.0 * FILM_MARGIN_MM for side in size_mm)
    return FilmPiece(where=where, name=name, width_mm=width, height_mm=height)


def _short(
    film: str, needed: Sequence[FilmPiece], *, own: Sequence[SheetInHand], habits: CuttingHabits
) -> Iterator[Told]:
    """Tell when a film does not reach, and how many more of its largest sheet would do."""
    sheets = [(one.width_mm, one.height_mm) for one in own for _ in range(one.count)]
    left = without_room(needed, sheets=sheets, habits=habits)
    if not left:
        return
    largest = max(sheets, key=lambda size: size[0] * size[1])
    area_cm2 = sum(piece.width_mm * piece.height_mm for piece in needed) / 100.0
    have_cm2 = sum(width * height for width, height in sheets) / 100.0
    others = f" and {len(left) - 1} more" if len(left) > 1 else ""
    yield Told(
        where=left[0].where,
        message=f"{film} runs out: {len(needed)} pieces take {area_cm2:.3g} cm2 and what lies "
        f"between them, {have_cm2:.3g} cm2 are at hand, and there is no room for "
        f"'{left[0].name}'{others}",
        remedy=_more(needed, sheets=sheets, largest=largest, habits=habits),
    )


def _more(
    needed: Sequence[FilmPiece],
    *,
    sheets: Sequence[tuple[float, float]],
    largest: tuple[float, float],
    habits: CuttingHabits,
) -> str:
    for more in range(1, _MOST_MORE + 1):
        if not without_room(needed, sheets=[*sheets, *[largest] * more], habits=habits):
            several = f"{more} more sheets" if more > 1 else "one more sheet"
            return f"get {several} of {largest[0]:g} x {largest[1]:g} mm, of one batch"
    rim = 2.0 * habits.edge_mm
    width = max(piece.width_mm for piece in needed) + rim
    height = max(piece.height_mm for piece in needed) + rim
    return f"get sheets of at least {width:.4g} x {height:.4g} mm, of one batch"
