"""The rules of openings whose glow has no figure, or one that flatters them."""

from collections.abc import Iterable, Sequence

from lamphouse.colour.film_spectra import is_known, scatters
from lamphouse.design.box_faces import PANEL, finish_of
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Layer, LayerKind, Outline, Panel
from lamphouse.findings import Severity, Told, rule, sets
from lamphouse.light.box_scene import RIM_ERROR_MM, Drawn, plates_of, windows_of
from lamphouse.light.glow_mends import WHITE
from lamphouse.light.glow_words import counted, in_mm, in_percent, together
from lamphouse.light.layer_stack import fold, is_coloured
from lamphouse.record import replace
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.soundness import flaw_of


@rule("LIT006", Severity.WARN, "A clear window has no computable glow")
def clear_window(drawn: Drawn) -> Iterable[Told]:
    """Look for lit openings whose layers scatter nothing.

    What it checks
        Among the layers of an opening over a light box is one that scatters light: a diffuser, or
        a film that throws back more than two smooth faces do.

    Why it matters
        Through clear layers the eye sees the LEDs and the painted inside as they are, and from
        every place something else. There is no one luminance, so there is no figure.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: [print film, amber gel]}

    Mend
        Add a diffuser as the first layer, or matt print film in place of clear.

    Source
        Limit of the model; two smooth faces after [FRESNEL].
    """
    for window in drawn.windows:
        if window.stack is not None and not window.stack.scatters:
            films = together([f"'{layer.film.name}'" for layer in window.opening.layers])
            yield Told(
                where=window.opening.where,
                message=f"opening '{window.opening.name}' is closed with {films} only, which does "
                "not scatter: the LEDs show through as they are, and it has no figure",
                remedy="add 'opal film 70' as its first layer, the one nearest the lamps",
            )


@rule("LIT033", Severity.WARN, "An overlay covers a lit opening")
def covered_opening(drawn: Drawn) -> Iterable[Told]:
    """Look for lit openings of which nothing is seen.

    What it checks
        The overlays of a panel leave a part of every opening over a light box free. Luminance and
        evenness are those of the free part.

    Why it matters
        A bezel or fret without a cut-out over a window hides it, however well it glows.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    overlays:
                      bezel:
                        outline: rectangle 60 x 40 mm
                        at: [35 mm, 25 mm]
                        sheet: styrene 0.5 mm

    Mend
        Add the cut-out of the message to the overlay, or move the overlay.

    Source
        Geometry.
    """
    for window in drawn.windows:
        corners = window.opening.outline.corners
        if free_parts(corners, under=plates_of(drawn.panel), error_mm=RIM_ERROR_MM) != ():
            continue
        left, bottom, right, top = bounds_mm(corners)
        names = together([f"'{overlay.name}'" for overlay in drawn.panel.overlays])
        middle = f"[{in_mm((left + right) / 2.0)}, {in_mm((bottom + top) / 2.0)}]"
        yield Told(
            where=window.opening.where,
            message=f"opening '{window.opening.name}' lies wholly under {names} of panel "
            f"'{drawn.panel.name}', so nothing of it is seen; at least a part should be free",
            remedy=f"cut an opening of about {in_mm(right - left)} x {in_mm(top - bottom)} at "
            f"{middle} into each overlay over it",
        )


@rule("LIT007", Severity.NOTE, "Coloured light through a layer of unknown colour has no figure")
def colour_through_colour(drawn: Drawn) -> Iterable[Told]:
    """Look for coloured LEDs behind gels and tint coats that may have any colour.

    What it checks
        Where a coloured LED lights an opening with a clear gel or tint coat, the parts table says
        which colours that film passes: by a dye, a photograph or a measured spectrum.

    Why it matters
        A film's transmittance holds for white light. Red light passes a red gel nearly whole and a
        green one hardly; without its colour nobody can tell.

    Example
        ::

            parts/film_types.csv: |
              name,use,thickness,transmittance,reflectance,source,kind,date
              drawer gel,gel,0.08 mm,20 %,7 %,own sample,measured,2026-11-25
            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: [opal film 60, drawer gel]}
                    boxes:
                      screen box:
                        leds:
                          W: {type: red 0603}

    Mend
        Give the film's row in the parts table a dye in words, red, green and blue of a photograph
        taken through it, or a spectrum file; or light it white.

    Source
        Limit of the model: photopic shares of coloured layers do not multiply.
    """
    coloured = sorted({led.led_type.name for led in drawn.box.leds if led.led_type.cct_K is None})
    if not coloured:
        return
    for window in drawn.windows:
        films = [
            layer.film
            for layer in window.opening.layers
            if is_coloured(layer.film) and not is_known(layer.film)
        ]
        if films:
            yield Told(
                where=window.opening.where,
                message=f"opening '{window.opening.name}' is lit by "
                f"{together([repr(name) for name in coloured])} through '{films[0].name}', whose "
                f"{in_percent(films[0].transmittance)} hold for white light, and whose colour is "
                "not known; it has no figure",
                remedy=f"give '{films[0].name}' a dye in parts/film_types.csv, such as 'below 540 "
                "nm over 40 nm', or use white LEDs",
            )


@rule("LIT008", Severity.NOTE, "A weak diffuser shows the LEDs as blurs")
def weak_diffuser(drawn: Drawn) -> Iterable[Told]:
    """Look for lit openings whose layers hardly scatter.

    What it checks
        The layers of an opening that scatter throw back at least a quarter of what they pass, or
        the parts table says where the light goes that they pass. So does an inner diffuser.

    Why it matters
        Such layers pass most of the light straight on: the mean luminance holds, but the LEDs show
        through as blurs. Evenness and hot spot are computed for light scattered every way, and
        are the best that can come of it. What passes an inner diffuser is always taken so.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: [sanded clear sheet]}

    Mend
        Take a denser diffuser, or a second sheet of the same; or give the film's row in the parts
        table a haze, such as ``60 % even; 30 % within 24 deg; 10 % straight``.

    Source
        From memory.
    """
    for window in drawn.windows:
        stack = window.stack
        if stack is not None and stack.is_weak:
            yield Told(
                where=window.opening.where,
                message=f"the layers of opening '{window.opening.name}' scatter little and pass "
                "much of the light straight on: its evenness and hot spot are the best that can "
                "come of it",
                remedy="add 'opal film 70' as its first layer, or look at a sample",
            )
    inner = drawn.box.inner_diffuser
    if inner is None or not scatters(inner.film):
        return
    alone = fold((Layer(kind=LayerKind(inner.film.use), film=inner.film),))
    if alone is not None and (alone.is_weak or alone.haze is not None):
        yield Told(
            where=drawn.box.where,
            message=f"the inner diffuser of box '{drawn.box.name}', '{inner.film.name}', passes "
            "much of the light straight on, and is taken as scattering it every way: evenness and "
            "hot spot are the best that can come of it",
            remedy="take 'opal film 70', or look at a sample",
        )


@rule("LIT018", Severity.NOTE, "Coats darken the panel inside a bare light box")
def darkened_inside(drawn: Drawn) -> Iterable[Told]:
    """Look for light boxes left bare whose coats lie on the panel in them.

    What it checks
        Where coats that are not white keep light in round the openings, behind the panel, the
        inside of the box is painted or lined, and the finish goes over them.

    Why it matters
        The glow counts the panel's rear face as finished as the file says. Left black it takes a
        tenth to a quarter of the light.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        finish: bare white styrene
                        coats: [{coat: black paint, count: 3}]
                        seams: taped

    Mend
        Paint the inside and, over the coats, the panel in it.

    Source
        The same boxes solved with a white and with a black panel inside.
    """
    dark = [one.coat.name for one in drawn.box.coats or () if "white" not in one.coat.name]
    behind = finish_of(drawn.box, PANEL)
    if dark and behind.is_bare:
        own = any(one.face == PANEL for one in drawn.box.faces)
        inside = f"paint the panel in it '{WHITE}'," if own else f"paint it '{WHITE}' inside, there"
        yield Told(
            where=drawn.box.where,
            message=f"{'the panel in ' if own else ''}box '{drawn.box.name}' is left "
            f"'{behind.name}', and '{dark[0]}' lies round the openings behind the panel; the glow "
            "counts that as bare too",
            remedy=f"{inside} over '{dark[0]}'",
            mend=sets(f"faces {PANEL}" if own else "finish", WHITE),
        )


def _sound(box: LightBox) -> LightBox:
    """Give a box whose outline is no outline the rectangle around it, for it does stand there."""
    if not flaw_of(box.inside.corners):
        return box
    left, bottom, right, top = bounds_mm(box.inside.corners)
    around = ((left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0))
    return replace(box, inside=Outline(corners=around, words=""))


@rule("LIT009", Severity.NOTE, "A look is wanted where no light box stands")
def look_without_box(panel: Panel, *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for openings with a wanted look and no light box behind them.

    What it checks
        Behind each opening with a look lies a light box.

    Why it matters
        Only the light of a box is computed. What such an opening shows, a lit room or a painted
        backdrop, is not; whether it meets its look is for a trial to tell.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      pilot: {shape: round 3 mm, at: [72 mm, 40 mm], look: lit panel}

    Mend
        Put a light box behind the opening, or take its look out.

    Source
        Limit of the model.
    """
    wanted = tuple(
        opening
        for opening in panel.openings
        if opening.look and not flaw_of(opening.outline.corners)
    )
    backed = {
        window.opening.name
        for box in boxes
        if wanted
        for window in windows_of(replace(panel, openings=wanted), box=_sound(box))
    }
    bare = [opening for opening in wanted if opening.name not in backed]
    if bare:
        yield Told(
            where=panel.where,
            message=f"{counted(len(bare), 'opening')} of '{panel.name}', '{bare[0].name}' first, "
            f"{'wants' if len(bare) == 1 else 'want'} the look '{bare[0].look}' with no light box "
            "behind; what other light does there is not computed",
            remedy="put a light box behind, or judge it by a trial and accept this",
        )
