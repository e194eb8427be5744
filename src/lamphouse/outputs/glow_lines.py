"""The figures of every lit opening, one record each, and what stands against what is wanted."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from lamphouse.circuit.branch import Band
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Finding, Severity
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.plan.result import Plan
from lamphouse.record import Record

AS_WANTED = "as wanted"
_IN_SHORT: Mapping[str, str] = {
    "LIT010": "uneven",
    "LIT011": "hot spot",
    "LIT012": "dark corners",
    "LIT014": "washed out",
    "LIT015": "no match",
    "LIT016": "LED in sight",
    "COL001": "other colour",
    "COL003": "colours differ",
    "COL007": "two makings of LED",
}
"""Codes in two words; any other stands for itself."""
_LIGHT, _OUTSIDE_CLASS = ("LIT", "COL"), "LIT013"


class ColourSummary(Record):
    """The colour of one lit opening, in figures."""

    name: str
    """In the trade's words."""
    cct_K: float | None
    """Correlated colour temperature of a white; None for a colour."""
    x: float
    y: float
    """Chromaticity of its own light."""
    lab: tuple[float, float, float]
    """L*, a*, b* when lit in the room."""
    colourfulness: float
    """To an eye adapted to the room, when lit in it."""
    doubt: float
    """CIEDE2000 difference that guesses about its films leave open, either way."""
    unlit: str
    """Name of its face's colour with the lamps off; empty in a dark room."""
    unlit_lab: tuple[float, float, float] | None
    """None in a dark room."""
    wanted: str
    """The colour its look wants; empty when it wants none."""


class OpeningSummary(Record):
    """How one opening will glow, in figures."""

    sub_assembly: str
    panel: str
    box: str
    opening: str
    mean_cd_m2: Band
    """Mean as designed, and what the spread of LEDs and circuit may make of it."""
    bar_cd_m2: float
    """Half the width of the solver's own band for the mean as designed."""
    evenness: float
    """Darkest of the equal parts of the opening over the mean."""
    hot_spot: float
    """Brightest of the equal parts over the mean."""
    room_cd_m2: float
    """What the room's light adds."""
    colour: ColourSummary | None
    """None when nothing says which colours its layers pass."""
    look: str
    """Name of the wanted look; empty when none was given."""
    wanted_cd_m2: tuple[float, float] | None
    """Least and most luminance of that look."""
    wanted_evenness: float | None
    verdict: str
    """``as wanted``, or what stands against it; empty when no look was given and nothing does."""


class Chosen(Record):
    """Some of a plan's light boxes."""

    glows: tuple[BoxGlow, ...]
    """Those whose glow could be computed."""
    findings: tuple[Finding, ...]
    """About their light, and the stops of boxes that have no figures."""


def chosen(plan: Plan, *, box: str = "") -> Chosen:
    """Choose a light box by its name, or all of them.

    Parameters
    ----------
    plan
        The whole.
    box
        A name; the boxes of that name in all sub-assemblies are meant.

    Raises
    ------
    LookupError
        If there is no such box; the message names the boxes there are.
    """
    boxes = [own for sub in plan.design.sub_assemblies for _, own in sub.boxes]
    light = tuple(_about_light(plan, boxes=boxes))
    if not box:
        return Chosen(glows=plan.glows, findings=light)
    items = {own.where.item for own in boxes if own.name == box}
    if not items:
        there = ", ".join(dict.fromkeys(own.name for own in boxes)) or "none"
        unknown = f"no light box '{box}'; there are: {there}"
        raise LookupError(unknown)
    glows = tuple(glow for glow in plan.glows if glow.where.item in items)
    items |= {
        f"{glow.sub_assembly} / {glow.panel} / {a.name}"
        for glow in glows
        for a in glow.scene.apertures
    }
    return Chosen(
        glows=glows,
        findings=tuple(finding for finding in light if _is_of(finding, items=items)),
    )


def _about_light(plan: Plan, *, boxes: Sequence[LightBox]) -> Iterator[Finding]:
    """List what is found about light, and what else stops a box that could not be computed."""
    computed = {glow.where.item for glow in plan.glows}
    dark = {box.where.item for box in boxes} - computed
    for finding in plan.findings:
        stops = finding.severity is Severity.STOP and finding.stands
        if finding.code.startswith(_LIGHT) or (stops and _is_of(finding, items=dark)):
            yield finding


def _is_of(finding: Finding, *, items: Collection[str]) -> bool:
    """Tell whether a finding is about one of the items or about something in it."""
    return any(f"{finding.where.item} / ".startswith(f"{item} / ") for item in items)


def lines_of(
    glows: Sequence[BoxGlow], *, findings: Sequence[Finding]
) -> tuple[OpeningSummary, ...]:
    """Sum up every opening that has figures, in the order of the maker's file.

    Parameters
    ----------
    glows
        The boxes.
    findings
        Of the whole plan; those about an opening make its verdict.
    """
    return tuple(
        _line(glow, opening, findings=findings) for glow in glows for opening in glow.openings
    )


def _line(glow: BoxGlow, opening: OpeningGlow, *, findings: Sequence[Finding]) -> OpeningSummary:
    look = opening.look
    against = ", ".join(dict.fromkeys(_against(opening, findings)))
    return OpeningSummary(
        sub_assembly=glow.sub_assembly,
        panel=glow.panel,
        box=glow.box,
        opening=opening.opening,
        mean_cd_m2=Band(low=opening.low_cd_m2, nominal=opening.mean_cd_m2, high=opening.high_cd_m2),
        bar_cd_m2=opening.bar_cd_m2,
        evenness=opening.evenness,
        hot_spot=opening.hot_spot,
        room_cd_m2=opening.room_cd_m2,
        colour=_colour(opening),
        look=look.name if look else "",
        wanted_cd_m2=(look.least_cd_m2, look.most_cd_m2) if look else None,
        wanted_evenness=look.evenness if look else None,
        verdict=against or (AS_WANTED if look else ""),
    )


def _colour(opening: OpeningGlow) -> ColourSummary | None:
    colour = opening.colour
    if colour is None:
        return None
    return ColourSummary(
        name=colour.name,
        cct_K=colour.cct_K if colour.name.endswith("white") else None,
        x=colour.xy[0],
        y=colour.xy[1],
        lab=colour.lab,
        colourfulness=colour.colourfulness,
        doubt=colour.doubt,
        unlit=colour.unlit_name,
        unlit_lab=colour.unlit_lab,
        wanted=opening.look.colour if opening.look else "",
    )


def colour_words(colour: ColourSummary | None) -> str:
    """Say a colour in short: ``cool white 6500 K``, ``amber .578 .421``; a dash for none."""
    if colour is None:
        return "-"
    if colour.cct_K is not None:
        return f"{colour.name} {colour.cct_K:.0f} K"
    x, y = (f"{share:.3f}".removeprefix("0") for share in (colour.x, colour.y))
    return f"{colour.name} {x} {y}"


def _against(opening: OpeningGlow, findings: Sequence[Finding]) -> Iterator[str]:
    """Say in short what stands against an opening."""
    for finding in findings:
        if (
            not finding.code.startswith(_LIGHT)
            or finding.severity is Severity.NOTE
            or not finding.stands
            or finding.where.item != opening.where.item
        ):
            continue
        if finding.code == _OUTSIDE_CLASS and opening.look:
            is_low = opening.mean_cd_m2 < opening.look.least_cd_m2
            yield "too dark" if is_low else "too bright"
        else:
            yield _IN_SHORT.get(finding.code, finding.code)
