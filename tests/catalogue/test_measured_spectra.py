"""Spectrum files of the maker: what is read, and what is refused with a reason."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.catalogue.measured_spectra import read_spectrum
from lamphouse.catalogue.shelf import built_in, with_own

STEPS = range(400, 701, 10)


def file_of(values, head="wavelength,transmittance", steps=STEPS):
    return head + "\n" + "".join(f"{at},{value}\n" for at, value in zip(steps, values, strict=True))


def read(text):
    return read_spectrum(text, file="parts/spectrum red gel.csv")


def test_shares_percents_and_units_are_read_alike():
    plain = file_of(["0.25"] * 31)
    marked = file_of(["25 %"] * 31)
    headed = file_of(["25"] * 31, head="Wavelength (nm),Transmittance (%)")
    spectra = [read(text)[0] for text in (plain, marked)]
    assert spectra[0].transmittance == pytest.approx(spectra[1].transmittance)
    assert read(headed.replace("Wavelength (nm)", "wavelength"))[0] == spectra[1]
    assert read(plain.replace("400,", "400 nm,"))[0] == spectra[0]


REFUSED = [
    (file_of(["25"] * 31), "look like per cent"),
    (file_of(["0.2"] * 31, steps=[s / 1000 for s in STEPS]), "look like um"),
    (file_of(["0.2"] * 31, steps=[s * 10 for s in STEPS]), "look like angstrom"),
    (file_of(["0.2"] * 30 + ["-0.2"]), "is below nothing"),
    (file_of(["0.2"] * 30 + ["nan"]), "is not a number"),
    (file_of(["0.2"] * 30 + ["inf"]), "is not a number"),
    (file_of(["0.2"] * 30 + ["500"]), "more than all of the light"),
    (file_of(["0"] * 31), "is zero"),
    (file_of(["0.2"] * 4, steps=[400, 500, 600, 700]), "between 400 nm and 500 nm"),
    (file_of(["0.2"] * 3, steps=[500, 510, 520]), "do not reach"),
    (file_of(["0.2"] * 3, steps=[400, 420, 410]), "stands below"),
    ("wavelength;transmittance\n400;0,2\n410;0,2\n", "semicolons"),
    ("nm,T\n400,0.2\n410,0.2\n", "its first line"),
    ("wavelength,power,power\n400,1,1\n410,1,1\n", "its first line"),
    ("wavelength,transmittance\n400,0.2,3\n410,0.2\n", "3 cells stand under 2"),
    ('wavelength,transmittance\n"400,0.2\n', "not comma-separated"),
    ("", "no readings"),
    ("x" * 2_000_000, "2,000,000 characters"),
]


@pytest.mark.parametrize(("text", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_makes_no_spectrum_is_refused_with_its_reason(text, said):
    spectrum, found = read(text)
    assert spectrum is None
    assert [finding.code for finding in found] == ["CAT010"]
    assert said in found[0].message
    assert found[0].remedy


def test_a_meters_noise_is_taken_for_nothing_and_all():
    spectrum, found = read(file_of(["-0.004"] + ["1.01"] * 30))
    assert found == ()
    assert spectrum.transmittance[:2] == (0.0, 1.0)


@given(st.text(max_size=200))
def test_no_text_brings_it_down(text):
    spectrum, found = read(text)
    assert (spectrum is None) == bool(found)


def test_a_spectrum_belongs_to_the_row_it_is_named_after():
    text = file_of(["0.3"] * 31)
    shelf, found = with_own(built_in(), {"parts/spectrum red gel.csv": text})
    assert found == ()
    assert shelf.film_types["red gel"].measured.transmittance[0] == 0.3
    _, found = with_own(built_in(), {"parts/spectrum red gell.csv": text})
    assert [finding.code for finding in found] == ["CAT010"]
    assert "'spectrum red gel.csv'" in found[0].remedy
    _, found = with_own(built_in(), {"parts/spectrum red 0603.csv": text})
    assert "needs a column 'power'" in found[0].message
