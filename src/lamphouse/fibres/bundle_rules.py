"""The rules of bundles: tips that look alike, a tube that fits, balance with the panels beside."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.strand import SourceGroup
from lamphouse.fibres.bundle import LIKE, Bundle, best_gap, in_parts, tried, with_diffuser
from lamphouse.fibres.packing import MOST
from lamphouse.fibres.run_rules import in_mm
from lamphouse.fibres.runs import StrandRun
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.units import Quantity, show

FILMS = ("opal film 70", "opal film 60")
"""Diffusers tried."""
MOST_PARTS = 4
"""A bundle is split into no more parts than this."""
LEAST_ABOVE, MOST_ABOVE = 2.0, 5000.0
"""A tip reads as a point of light from twice the luminance of the lit panel it stands in, and
outshines it from there on: tips of bare domes are some thousand times brighter [PRACTICE]."""


@rule("FIB006", Severity.WARN, "Tips of one bundle do not look alike")
def unlike_tips(bundle: Bundle, *, runs: Sequence[StrandRun]) -> Iterable[Told]:
    """Look for bundles whose outer strands get much less light than the inner ones.

    What it checks
        The brightest tip of a bundle has no more than 1.5 times the luminance of its dimmest, with
        the LED's face, the gap, each strand's place in the bundle, its length and its bends.

    Why it matters
        Pinpoints of one group are to read as the same lamp; outer strands that look past the edge
        of the LED stay dim.

    Example
        ::

            groups:
              dots:
                in: sample
                source: {led: white 0402, current: 5 mA, gap: 0.5 mm}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 120 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F:
                        fibre: fibre 0.75 mm
                        at: [10 mm, 20 mm]
                        count: 12
                        step: [8 mm, 0 mm]
                        group: dots

    Mend
        Take one of the ways in the message: leave the gap to the program, put a diffuser between,
        or split the bundle before several LEDs.

    Source
        Etendue: the luminance of the face times core area and projected solid angle. The ratio of
        1.5 is common practice, no source.
    """
    if bundle.ratio <= LIKE:
        return
    tips = [each.tip.luminance_cd_m2 for each in bundle.lit]
    dim = min(bundle.lit, key=lambda each: each.tip.luminance_cd_m2).strand.name
    led = bundle.group.source
    times = "without end" if bundle.ratio == float("inf") else f"{bundle.ratio:.1f} times"
    yield Told(
        where=led.where if led else bundle.group.where,
        message=f"across the bundle of {len(tips)} strands the brightest tip is {times} as bright "
        f"as the dimmest, '{dim}'; up to {LIKE:g} looks alike",
        remedy="; or ".join(_mends(bundle, runs=runs)),
    )


def _mends(bundle: Bundle, *, runs: Sequence[StrandRun]) -> Iterable[str]:
    """Give the changes after which the tips look alike, each computed with what it costs."""
    spots = [each.spot_mm for each in bundle.lit]
    now = tried(bundle.source, runs=runs, spots=spots, gap_mm=bundle.gap_mm).mean_cd_m2
    gap = best_gap(bundle.source, runs=runs, spots=spots)
    found = []
    if gap.ratio <= LIKE:
        found.append(f"write gap: {gap.gap_mm:g} mm ({_cost(gap.mean_cd_m2, now)})")
    for film in () if bundle.group.seat.diffuser else _films():
        trial = with_diffuser(bundle, film=film, runs=runs)
        if trial.ratio <= LIKE:
            found.append(
                f"write diffuser: {film.name} and gap: {trial.gap_mm:g} mm "
                f"({_cost(trial.mean_cd_m2, now)})"
            )
            break
    for parts in range(2, MOST_PARTS + 1):
        trial = in_parts(bundle, runs=runs, count=parts)
        if trial.ratio <= LIKE:
            found.append(
                f"split it into {parts} bundles with an LED each at a gap of {trial.gap_mm:g} mm "
                f"({_cost(trial.mean_cd_m2, now)})"
            )
            break
    last = f"split it into more than {MOST_PARTS} bundles, or use a dome as wide as the bundle"
    return found or [f"{last}, {in_mm(bundle.packing.bore_mm)}"]


def _films() -> list[FilmType]:
    return [built_in().film_types[name] for name in FILMS]


def _cost(mean_cd_m2: float, now_cd_m2: float) -> str:
    if now_cd_m2 <= 0.0:
        return "now the mean tip gets nothing"
    change = mean_cd_m2 / now_cd_m2 - 1.0
    return f"the mean tip {'gains' if change >= 0.0 else 'loses'} {abs(change):.0%}"


@rule("FIB007", Severity.STOP, "A bundle fits no ferrule")
def too_thick(group: SourceGroup, *, strands: int, bundle: Bundle | None) -> Iterable[Told]:
    """Look for bundles that no tube of the catalogue takes, and for too many strands at one LED.

    What it checks
        Some tube is wider than the bundle by 0.05 mm, and no LED lights more than 400 strands.

    Why it matters
        Without a ferrule the ends cannot be polished flat or held before the LED.

    Example
        ::

            groups:
              dots: {in: sample, source: {led: white 5 mm, current: 20 mA}}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 400 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F:
                        fibre: fibre 2.0 mm
                        at: [10 mm, 20 mm]
                        count: 30
                        step: [12 mm, 0 mm]
                        group: dots

    Mend
        Split the group before several LEDs, use thinner fibre, or add a wider tube to the parts
        folder.

    Source
        Geometry; the packing is computed.
    """
    where = group.source.where if group.source else group.where
    if strands > MOST:
        yield Told(
            where=where,
            message=f"{strands} strands hang on one LED; at most {MOST} are packed",
            remedy=f"split the group into {-(-strands // MOST)} or more",
        )
    elif bundle and bundle.ferrule is None:
        yield Told(
            where=where,
            message=f"its {strands} strands make a bundle {in_mm(bundle.packing.bore_mm)} thick; "
            "no tube of the catalogue is as wide",
            remedy="split the group before two LEDs, use thinner fibre, or add a tube of "
            f"{in_mm(bundle.packing.bore_mm + 0.05)} inside or more to parts/tube_types.csv",
        )


@rule("FIB008", Severity.WARN, "Tips and the lit panel around them are out of balance")
def out_of_balance(
    bundle: Bundle, *, lit_panels: Sequence[tuple[str, str, float]]
) -> Iterable[Told]:
    """Look for tips that drown in the panel they stand in, or outshine it.

    What it checks
        The mean luminance of a group's tips against that of the brightest opening of the same panel
        where it glows: from 2 to 5000 times.

    Why it matters
        A tip as bright as the screen beside it is not seen; one far brighter makes the screen look
        dead.

    Example
        ::

            groups:
              dots:
                in: sample
                source: {led: white 0402, current: 0.02 mA, gap: 10 mm, diffuser: opal film 30}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 100 x 60 mm
                    sheet: styrene 0.75 mm
                    openings:
                      screen:
                        shape: rectangle 40 x 30 mm
                        at: [30 mm, 30 mm]
                        layers: [opal film 60]
                    boxes:
                      lamp box:
                        inside: rectangle 50 x 40 mm
                        at: [30 mm, 30 mm]
                        depth: 20 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        leds:
                          W:
                            type: white 0603
                            at: [20 mm, 30 mm]
                            count: 2
                            step: [20 mm, 0 mm]
                            current: 5 mA
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [80 mm, 30 mm], group: dots}

    Mend
        Set the source's current as the message says.

    Source
        Common practice, no source.
    """
    led = bundle.group.source
    if led is None:
        return
    for _, panel, luminance in lit_panels:
        tips = [each.tip.luminance_cd_m2 for each in bundle.lit]
        mean = sum(tips) / len(tips)
        times = mean / luminance
        if LEAST_ABOVE <= times <= MOST_ABOVE:
            continue
        wanted = (LEAST_ABOVE if times < LEAST_ABOVE else MOST_ABOVE) * luminance
        told = show(mean, Quantity.LUMINANCE, digits=2)
        beside = show(luminance, Quantity.LUMINANCE, digits=2)
        if mean <= 0.0:
            remedy = "bring the strands before the LED first"
        else:
            current = led.current_A * wanted / mean
            remedy = f"write current: {show(current, Quantity.CURRENT, digits=2)} for its source"
            if current > led.led_type.max_current_A:
                remedy = (
                    f"close the gap, now {in_mm(bundle.gap_mm)}, or dim the panel: the LED would "
                    f"want {show(current, Quantity.CURRENT, digits=2)}"
                )
        verdict = "drown beside" if times < LEAST_ABOVE else "outshine"
        yield Told(
            where=led.where,
            message=f"its tips at {told} {verdict} the lit panel '{panel}' at {beside}; "
            f"{LEAST_ABOVE:g} to {MOST_ABOVE:g} times as bright reads as points of light",
            remedy=remedy,
        )


def judge_bundle(
    group: SourceGroup,
    *,
    bundle: Bundle | None,
    runs: Sequence[StrandRun],
    lit_panels: Sequence[tuple[str, str, float]],
) -> tuple[Finding, ...]:
    """Run every rule of bundles."""
    found = too_thick(group, strands=len(runs), bundle=bundle)
    if bundle is None:
        return found
    return (
        *unlike_tips(bundle, runs=runs),
        *found,
        *out_of_balance(bundle, lit_panels=lit_panels),
    )
