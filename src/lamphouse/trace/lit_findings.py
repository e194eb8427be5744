"""What a photographed panel is worth telling: what is off, and what the photograph leaves open."""

from collections.abc import Iterator, Sequence

from lamphouse.findings import Finding, Where
from lamphouse.record import replace
from lamphouse.trace import lit_rules
from lamphouse.trace.linear_light import MergedLight
from lamphouse.trace.lit_against import MOST_OVER, Against, OpeningAgainst, is_dim
from lamphouse.trace.refused import finding

SEEN_OVER = 1e-3
"""Share of an opening that may be overexposed before it is told."""
EVENNESS_OFF = 0.10
BESIDE_OFF = 1.5
"""How far openings may differ from the plan, as LEDs of one type do."""
_VIGNETTING = 0.05
_MOST_TOLD = 3


def judge(
    against: Against,
    *,
    merged: MergedLight,
    where: Sequence[tuple[str, Where]],
    has_unlit: bool,
    has_profile: bool,
) -> tuple[Finding, ...]:
    """Tell what a photograph says of a panel.

    Parameters
    ----------
    against
        The comparison.
    merged
        The light it was made with.
    where
        Where each opening, and under the empty name the panel, stands in the project.
    has_unlit
        Whether the room's light was taken off.
    has_profile
        Whether a colour profile was left out of account.
    """
    places = dict(where)
    found = list(merged.findings)
    for one in against.openings:
        at = places[one.opening]
        found += [replace(each, where=at) for each in _of_opening(one)]
    found += [replace(each, where=places[""]) for each in _of_face(against)]
    found.append(
        replace(
            _open(against, merged=merged, has_unlit=has_unlit, has_profile=has_profile),
            where=places[""],
        )
    )
    return tuple(found)


def _of_opening(one: OpeningAgainst) -> Iterator[Finding]:
    if one.over > SEEN_OVER:
        gets = "it gets no figures" if one.over > MOST_OVER else "its hot spots are as least told"
        yield finding(
            lit_rules.overexposed,
            f"{one.over:.1%} of opening '{one.opening}' is overexposed; {gets}",
            remedy="expose a quarter as long, or give such a photograph besides",
        )
    if is_dim(one):
        yield finding(
            lit_rules.underexposed,
            f"half of opening '{one.opening}' lies below {one.half_code:.0f} of 255 in the picture",
            remedy="expose four times as long, or give such a photograph besides",
        )
    parts = list(_off(one))
    if parts:
        yield finding(
            lit_rules.not_as_predicted,
            f"opening '{one.opening}': {'; '.join(parts)}",
            remedy="look there for an LED out of its place, a bubble, glue or a fold in a film; "
            "log a moved LED with lamphouse log as-built",
        )


def _off(one: OpeningAgainst) -> Iterator[str]:
    """Say in what an opening is not as predicted."""
    if one.evenness is not None and one.predicted_evenness is not None:
        apart = abs(one.evenness - one.predicted_evenness)
        if apart > max(EVENNESS_OFF, 2.0 * one.evenness_bar):
            yield f"evenness {one.evenness:.0%}, predicted {one.predicted_evenness:.0%}"
    if one.beside_others is not None and not (1.0 / BESIDE_OFF <= one.beside_others <= BESIDE_OFF):
        doubt = " (coloured light, which a camera weighs otherwise)" if one.is_coloured else ""
        yield f"{one.beside_others:.2f} times as bright beside the others as predicted{doubt}"
    for spot in one.spots[:_MOST_TOLD]:
        way = "brighter" if spot.ratio > 1.0 else "darker"
        yield (
            f"{abs(spot.ratio - 1.0):.0%} {way} than predicted at {spot.x_mm:.1f}, "
            f"{spot.y_mm:.1f} mm, over {spot.area_mm2:.1f} mm2"
        )


def _of_face(against: Against) -> Iterator[Finding]:
    if against.leaks:
        told = "; ".join(
            f"{leak.share:.0%} at {leak.x_mm:.1f}, {leak.y_mm:.1f} mm"
            for leak in against.leaks[:_MOST_TOLD]
        )
        yield finding(
            lit_rules.not_as_predicted,
            f"the face shines away from its openings, over their mean light: {told}",
            remedy="block the wall behind it or the seam beside it; or photograph it in the dark, "
            "where no lamp is reflected there",
        )


def _open(against: Against, *, merged: MergedLight, has_unlit: bool, has_profile: bool) -> Finding:
    """Say what the figures do not hold."""
    parts, mends = [], []
    if not merged.is_checked:
        parts.append("the camera's curve is taken to be that of sRGB, and nothing checked it")
        mends.append("give a second photograph with another exposure")
    if not has_unlit:
        parts.append("the room is taken to be dark")
        mends.append("give one with the model's lights off as --unlit, where it was not")
    if against.vignetting > _VIGNETTING:
        parts.append(
            f"a lens without correction darkens one opening by {against.vignetting:.0%} against "
            "another"
        )
        mends.append("stand back, the panel in the middle of the picture")
    if any(one.is_coloured for one in against.openings):
        parts.append("a camera weighs coloured light otherwise than the eye")
        mends.append("compare openings of one colour only")
    if has_profile:
        parts.append("a colour profile was left out of account")
    parts.append("scatter in the lens lifts the dark beside the bright by a percent or two")
    return finding(
        lit_rules.left_open, "; ".join(parts), remedy="; ".join(mends) or "nothing to mend"
    )
