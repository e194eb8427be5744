"""Inks found again from charts whose inks are known, read by another camera, with noise."""

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.film_spectra import film_spectrum
from lamphouse.colour.inks import INKJET, LASER
from lamphouse.colour.print_chart import BARE, PATCHES, TYPICAL_OFF, fit, seen, thicker
from lamphouse.colour.printer import driver
from lamphouse.record import replace

FILM = film_spectrum(built_in().film_types["print film"]).sheet
NAMES = tuple(name for name, _ in PATCHES if name != BARE)


def encoded(linear):
    """Give 0 to 255 for linear light [IEC 61966-2-1]."""
    light = np.clip(linear, 0.0, 1.0)
    return 255.0 * np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def linear(values):
    """Undo :func:`encoded`."""
    share = np.asarray(values) / 255.0
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def read(inks, *, is_lit=True, shift_nm=0.0, noise=None):
    """Give the readings of a chart of these inks, bare film at 240."""
    told = seen(inks, patches=NAMES, film=FILM, is_lit=is_lit, shift_nm=shift_nm)
    if noise is not None:
        told = told * np.exp(noise.normal(0.0, 0.03, told.shape))
    values = encoded(told * linear(240.0))
    return ((BARE, (240.0,) * 3), *((n, tuple(v)) for n, v in zip(NAMES, values, strict=True)))


@pytest.mark.parametrize("typical", [INKJET, LASER], ids=lambda inks: inks.name)
def test_inks_come_back_from_a_chart_without_noise(typical):
    own = thicker(typical, by=(0.15, -0.1, 0.1, -0.15))
    found = fit(typical=typical, film=FILM, lit=read(own), unlit=read(own, is_lit=False))
    # What the readings leave open is drawn to the typical inks: by less than the stated spread.
    assert found.inks.solids == pytest.approx(own.solids, rel=0.05)
    assert found.missed < 0.01


@pytest.mark.parametrize("typical", [INKJET, LASER], ids=lambda inks: inks.name)
def test_the_stated_spread_holds_for_charts_drawn_by_lot(typical):
    """40 printers and cameras by lot: within two standard uncertainties 95 % of the time [GUM]."""
    draws = np.random.Generator(np.random.PCG64(8))
    apart = []
    for _ in range(40):
        own = thicker(typical, by=draws.normal(0.0, 0.15, 4).clip(-0.4, 0.4).tolist())
        shift_nm = draws.uniform(-15.0, 15.0)
        lit, unlit = (
            read(own, is_lit=is_lit, shift_nm=shift_nm, noise=draws) for is_lit in (True, False)
        )
        found = fit(typical=typical, film=FILM, lit=lit, unlit=unlit)
        off = np.array(found.off) * found.inks.solids
        apart.append((np.array(found.inks.solids) - own.solids) / off)
    assert np.mean(np.abs(apart) < 2.0) > 0.9


def test_a_black_reading_alone_is_met_by_the_density_it_stands_for():
    """Beer and Lambert: a density less by 0.2 lets 10 to the power of 0.2 more through."""
    typical = INKJET
    before = seen(typical, patches=("black",), film=FILM, is_lit=True, shift_nm=0.0)
    own = replace(typical, solids=(*typical.solids[:3], typical.solids[3] - 0.2))
    own = replace(own, reckoned=typical.solids)
    after = seen(own, patches=("black",), film=FILM, is_lit=True, shift_nm=0.0)
    # The surfaces throw a little back and forth, which the ratio does not quite lose.
    assert after / before == pytest.approx(10.0**0.2, rel=0.03)


def test_only_the_readings_that_are_there_make_it_surer():
    own = thicker(INKJET, by=(0.2, 0.2, 0.2, 0.2))
    lit = read(own)
    some = fit(film=FILM, lit=tuple(one for one in lit if one[0] in (BARE, "cyan")))
    assert some.inks.solids[0] == pytest.approx(own.solids[0], rel=0.06)
    assert some.off[0] < 0.5 * TYPICAL_OFF < some.off[3] <= TYPICAL_OFF * 1.01
    assert fit(film=FILM, lit=(lit[0],)).inks == INKJET


def test_readings_that_contradict_each_other_are_less_sure():
    fine = read(INKJET)
    # Every second patch from a picture of half the exposure.
    halved = tuple(
        (name, tuple(encoded(linear(rgb) / (1 + number % 2)))) if name != BARE else (name, rgb)
        for number, (name, rgb) in enumerate(fine)
    )
    sure, unsure = fit(film=FILM, lit=fine), fit(film=FILM, lit=halved)
    assert unsure.missed > 0.2 > 0.01 > sure.missed
    assert min(np.array(unsure.off) / sure.off) > 1.5


def test_a_printer_lays_down_what_it_always_did():
    """Denser ink changes the print, not the driver, which was set up before."""
    own = fit(film=FILM, lit=read(thicker(INKJET, by=(0.3, 0.3, 0.3, 0.3)))).inks
    assert own.solids != INKJET.solids
    assert driver(own).values is driver(INKJET).values or np.array_equal(
        driver(own).values, driver(INKJET).values
    )


def test_a_chart_without_its_bare_patch_is_refused():
    with pytest.raises(ValueError, match="'bare'"):
        fit(film=FILM, lit=(("black", (20.0,) * 3), ("cyan", (90.0, 170.0, 214.0))))
