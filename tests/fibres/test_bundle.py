"""Bundles: tubes that fit, gaps that even out, mends that hold when they are done."""

import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.fibres.bundle import LIKE, narrowest
from lamphouse.plan import make
from lamphouse.project.read import read_text

TEXT = """
lamphouse: 1
name: trial
date: 2026-11-25
scale: 1:24
supply: {{kind: plug-in supply, voltage: 12 V, max_current: 500 mA}}
groups:
  dots: {{in: sample, source: {{led: {led}, current: 5 mA{source}}}}}
sub_assemblies:
  sample:
    panels:
      plate:
        outline: rectangle 380 x 40 mm
        sheet: styrene 0.75 mm
        strands:
          F:
            {{fibre: {fibre}, at: [10 mm, 20 mm], count: {count}, step: [12 mm, 0 mm], group: dots}}
"""


def plan(led="green 3 mm", source="", fibre="fibre 0.5 mm", count=12):
    text = TEXT.format(led=led, source=source, fibre=fibre, count=count).lstrip()
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(each) for each in reading.findings]
    return make.plan(reading.design, found=reading.findings)


def found(made):
    return {each.code: each for each in made.findings if each.code.startswith("FIB")}


def test_ferrule_and_collar_are_the_narrowest_that_slip_over():
    (bundle,) = plan().strands.bundles
    # 12 of 0.5 mm want 4.0296 x 0.5 = 2.015 mm: published ratio of circle packing.
    assert bundle.packing.bore_mm == pytest.approx(2.0148, abs=1e-4)
    wider = [tube for tube in built_in().tube_types.values() if tube.inside_mm >= 2.0648]
    assert bundle.ferrule == min(wider, key=lambda tube: tube.inside_mm)
    assert bundle.collar.inside_mm >= max(3.0, bundle.ferrule.outside_mm) + 0.1
    assert narrowest([], over_mm=1.0) is None


def test_thirty_strands_fit_the_sleeve_that_makers_use():
    # A built example: 30 fibres of 0.75 mm in a sleeve of 4.88 mm. Common practice, no source.
    (bundle,) = plan(led="green 5 mm", fibre="fibre 0.75 mm", count=30).strands.bundles
    assert bundle.packing.bore_mm <= 4.88


def test_a_bundle_narrower_than_its_dome_is_even():
    made = plan()
    assert made.strands.bundles[0].ratio < 1.01
    assert found(made) == {}


def test_a_wide_bundle_opens_its_gap_until_tips_look_alike():
    near = plan(led="white 0603", source=", gap: 0.5 mm", count=30)
    told = found(near)["FIB006"]
    assert near.strands.bundles[0].ratio > LIKE
    free = plan(led="white 0603", count=30)
    assert free.strands.bundles[0].ratio <= LIKE * 1.01
    gap = told.remedy.split("gap: ")[1].split(" (")[0]
    mended = plan(led="white 0603", source=f", gap: {gap}", count=30)
    assert mended.strands.bundles[0].ratio <= LIKE * 1.01
    # The price that the mend tells is the one that is paid.
    means = [
        sum(each.tip.luminance_cd_m2 for each in one.strands.bundles[0].lit)
        for one in (near, mended)
    ]
    paid = f"{abs(means[1] / means[0] - 1.0):.0%}"
    assert abs(float(paid[:-1]) - float(told.remedy.split("loses ")[1].split("%")[0])) <= 2


def test_a_diffuser_evens_out_and_costs_light():
    bare = plan(led="white 3 mm", source=", gap: 0.5 mm", fibre="fibre 0.75 mm", count=30)
    soft = plan(
        led="white 3 mm",
        source=", gap: 0.5 mm, diffuser: opal film 60",
        fibre="fibre 0.75 mm",
        count=30,
    )
    assert soft.strands.bundles[0].ratio < bare.strands.bundles[0].ratio
    assert soft.strands.bundles[0].coupled < bare.strands.bundles[0].coupled


def test_a_bundle_thicker_than_any_tube_is_a_stop():
    made = plan(led="green 5 mm", fibre="fibre 2.0 mm", count=30)
    assert "FIB007" in found(made)


def test_no_light_is_won():
    for led in ("white 0402", "white 1206", "white 3 mm", "white 5 mm"):
        (bundle,) = plan(led=led, count=30).strands.bundles
        assert 0.0 < bundle.coupled < 1.0
        for each in bundle.lit:
            assert each.tip.luminance_cd_m2 < bundle.source.axis_cd_m2
