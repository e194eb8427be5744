"""A bundle: strands packed in a ferrule before their source, and how bright each tip becomes.

Terminology
-----------
ferrule
    The tube that holds the ends of a bundle, polished together.
collar
    The black tube that joins ferrule and LED and shuts in the light of the LED's sides.
"""

from collections.abc import Sequence

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.tube_types import TubeType
from lamphouse.design.led_body import is_dome
from lamphouse.design.strand import SourceGroup, Strand
from lamphouse.fibres.apparent_source import ApparentSource, diffused, dome_mm, source_of
from lamphouse.fibres.coupling import CORE_POINTS, SEARCH_POINTS, launched_lm
from lamphouse.fibres.packing import MOST, Packing, pack
from lamphouse.fibres.runs import StrandRun
from lamphouse.fibres.strand_light import Tip, core_mm, passes, tip_of
from lamphouse.record import Record

FIT_MM = 0.05
"""A ferrule is at least this much wider than its bundle, for glue [PRACTICE]."""
COLLAR_FIT_MM = 0.1
"""A collar is at least this much wider than what it slips over [PRACTICE]."""
LIKE = 1.5
"""Tips whose luminance differs by no more than this ratio look alike side by side [PRACTICE]."""
LEAST_GAP_MM = 0.5
GAP_STEP_MM = 0.5
MOST_GAP_MM = 12.0


class Lit(Record):
    """One strand of a bundle at its source."""

    strand: Strand
    spot_mm: tuple[float, float]
    """Of its end in the ferrule, seen from the LED."""
    launched_lm: float
    tip: Tip


class Bundle(Record):
    """One bundle with its source."""

    group: SourceGroup
    source: ApparentSource
    """A diffuser counted in."""
    packing: Packing
    lit: tuple[Lit, ...]
    """In the order of the file."""
    gap_mm: float
    gap_found: bool
    ferrule: TubeType | None
    """None where no tube is wide enough."""
    collar: TubeType | None
    collar_over_mm: float
    """Diameter it slips over: the thicker of LED and ferrule."""

    @property
    def ratio(self) -> float:
        """Brightest tip over dimmest."""
        return ratio_of([each.tip.luminance_cd_m2 for each in self.lit])

    @property
    def coupled(self) -> float:
        """Share of the LED's light that enters strands."""
        return sum(each.launched_lm for each in self.lit) / self.source.flux_lm


class Trial(Record):
    """A way to light strands, tried."""

    gap_mm: float
    ratio: float
    mean_cd_m2: float
    """Of the tips."""


def ratio_of(figures: Sequence[float]) -> float:
    """Greatest over least; without end where one is nothing."""
    least = min(figures)
    return max(figures) / least if least > 0.0 else float("inf")


def bundle_of(
    group: SourceGroup, *, runs: Sequence[StrandRun], tubes: Sequence[TubeType]
) -> Bundle | None:
    """Pack and light the strands of a group.

    Parameters
    ----------
    group
        With a source.
    runs
        Of its strands; those that found no way are left out.
    tubes
        There are.

    Returns
    -------
    Bundle or None
        None without a strand, or with more than one bundle can hold.
    """
    led = group.source
    if led is None or not runs or len(runs) > MOST:
        return None
    packing = pack(tuple(sorted((run.strand.fibre.diameter_mm for run in runs), reverse=True)))
    spots = _dealt(runs, packing)
    face = source_of(led.led_type, current_A=led.current_A)
    source = _behind(group.seat.diffuser, face, bore_mm=packing.bore_mm)
    gap = group.seat.gap_mm
    found = gap is None
    if gap is None:
        gap = best_gap(source, runs=runs, spots=spots).gap_mm
    body = dome_mm(led.led_type) if is_dome(led.led_type) else max(led.led_type.package_mm[:2])
    ferrule = narrowest(tubes, over_mm=packing.bore_mm + FIT_MM)
    over = max(body, ferrule.outside_mm if ferrule else packing.bore_mm)
    return Bundle(
        group=group,
        source=source,
        packing=packing,
        lit=lit(source, runs=runs, spots=spots, gap_mm=gap),
        gap_mm=gap,
        gap_found=found,
        ferrule=ferrule,
        collar=narrowest(tubes, over_mm=over + COLLAR_FIT_MM),
        collar_over_mm=over,
    )


def _behind(film: FilmType | None, face: ApparentSource, *, bore_mm: float) -> ApparentSource:
    if film is None:
        return face
    return diffused(face, passed=film.transmittance, bore_mm=bore_mm)


def narrowest(tubes: Sequence[TubeType], *, over_mm: float) -> TubeType | None:
    """Give the narrowest tube that slips over a diameter."""
    fitting = [tube for tube in tubes if tube.inside_mm >= over_mm]
    return min(fitting, key=lambda tube: (tube.inside_mm, tube.outside_mm), default=None)


def lit(
    source: ApparentSource,
    *,
    runs: Sequence[StrandRun],
    spots: Sequence[tuple[float, float]],
    gap_mm: float,
    points: int = CORE_POINTS,
) -> tuple[Lit, ...]:
    """Light every strand through a gap."""
    launched = launched_lm(
        source,
        spots_mm=spots,
        cores_mm=[core_mm(run.strand.fibre) for run in runs],
        apertures=[run.strand.fibre.numerical_aperture for run in runs],
        gap_mm=gap_mm,
        points=points,
    )
    return tuple(
        Lit(
            strand=run.strand,
            spot_mm=spot,
            launched_lm=flux,
            tip=tip_of(run.strand.fibre, launched_lm=flux, passed=passed_by(run)),
        )
        for run, spot, flux in zip(runs, spots, launched, strict=True)
    )


def passed_by(run: StrandRun) -> float:
    """Share of the launched light that reaches the tip of a run."""
    radii = () if run.radius_mm is None else (run.radius_mm,)
    return passes(run.strand.fibre, length_mm=run.run_mm, radii_mm=radii)


def best_gap(
    source: ApparentSource, *, runs: Sequence[StrandRun], spots: Sequence[tuple[float, float]]
) -> Trial:
    """Find the least gap at which the tips look alike; the evenest where none does."""
    trials = []
    for step in range(round(LEAST_GAP_MM / GAP_STEP_MM), round(MOST_GAP_MM / GAP_STEP_MM) + 1):
        trial = tried(source, runs=runs, spots=spots, gap_mm=step * GAP_STEP_MM)
        if trial.ratio <= LIKE:
            return trial
        trials.append(trial)
    return min(trials, key=lambda trial: (round(trial.ratio, 3), trial.gap_mm))


def tried(
    source: ApparentSource,
    *,
    runs: Sequence[StrandRun],
    spots: Sequence[tuple[float, float]],
    gap_mm: float,
    points: int = SEARCH_POINTS,
) -> Trial:
    """Try a gap."""
    tips = [
        each.tip.luminance_cd_m2
        for each in lit(source, runs=runs, spots=spots, gap_mm=gap_mm, points=points)
    ]
    return Trial(gap_mm=gap_mm, ratio=ratio_of(tips), mean_cd_m2=sum(tips) / len(tips))


def with_diffuser(bundle: Bundle, *, film: FilmType, runs: Sequence[StrandRun]) -> Trial:
    """Try a diffuser between LED and strands."""
    led = bundle.group.source
    if led is None:
        unlit = f"'{bundle.group.name}' has no source"
        raise ValueError(unlit)
    face = source_of(led.led_type, current_A=led.current_A)
    source = _behind(film, face, bore_mm=bundle.packing.bore_mm)
    return best_gap(source, runs=runs, spots=[each.spot_mm for each in bundle.lit])


def in_parts(bundle: Bundle, *, runs: Sequence[StrandRun], count: int) -> Trial:
    """Try equal smaller bundles, each before an LED like this one; the largest is tried."""
    part = list(runs)[: -(-len(runs) // count)]
    packing = pack(tuple(sorted((run.strand.fibre.diameter_mm for run in part), reverse=True)))
    return best_gap(bundle.source, runs=part, spots=_dealt(part, packing))


def _dealt(runs: Sequence[StrandRun], packing: Packing) -> tuple[tuple[float, float], ...]:
    """Give each strand a place of its diameter: those that lose most stand nearest to the axis."""
    places = sorted(
        zip(packing.diameters_mm, packing.spots_mm, strict=True),
        key=lambda place: (-place[0], round(place[1][0] ** 2 + place[1][1] ** 2, 6), place[1]),
    )
    order = sorted(
        range(len(runs)),
        key=lambda at: (-runs[at].strand.fibre.diameter_mm, passed_by(runs[at]), at),
    )
    spots: list[tuple[float, float]] = [(0.0, 0.0)] * len(runs)
    for at, (_, spot) in zip(order, places, strict=True):
        spots[at] = spot
    return tuple(spots)
