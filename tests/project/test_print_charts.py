"""Print charts in the project file: read, named by layers, and every fault of theirs told."""

import pytest

from lamphouse.design.artwork import Printer
from lamphouse.project.applying import _written_layer
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text

OURS = "{printer: laser, lit: {bare: 240 238 232, black: 28.5 27 30}}"


def read(chart, *, named="ours"):
    text = demo_text("saltmarsh", "mended.yaml")
    text = text.replace("artwork: tide_chart.png", f"artwork: tide_chart.png, chart: {named}")
    text = text.replace("\ngroups:", f"\ncharts:\n  ours: {chart}\n\ngroups:", 1)
    return read_text(text, file="mended.yaml", own_pictures=demo_pictures("saltmarsh"))


def printed(reading):
    return next(
        layer
        for sub in reading.design.sub_assemblies
        for panel in sub.panels
        for opening in panel.openings
        for layer in opening.layers
        if layer.printed
    )


def test_a_layer_is_printed_by_the_printer_of_its_chart():
    layer = printed(read(OURS))
    chart = layer.printed.chart
    assert (chart.name, chart.film.name, layer.printed.printer) == (
        "ours",
        "print film",
        Printer.LASER,
    )
    assert chart.lit == (("bare", (240.0, 238.0, 232.0)), ("black", (28.5, 27.0, 30.0)))
    assert chart.unlit == ()
    assert _written_layer(layer)["chart"] == "ours"


@pytest.mark.parametrize(
    ("chart", "says", "remedy"),
    [
        ("{lit: {black: 28 27 30}}", "'bare' has no reading", "bare: 240"),
        ("{lit: {bare: 240 238 232, cyna: 1 2 3}}", "no patch 'cyna'", "write cyan"),
        ("{lit: {bare: 240 238 232, cyan: dark}}", "not red, green and blue", "228 160 52"),
        ("{lit: {bare: 255 238 232, cyan: 1 2 3}}", "cut off", "shorter exposure"),
        ("{lit: {bare: 20 19 30, cyan: 1 2 3}}", "'bare' is dark", "longer exposure"),
        ("{unlit: {bare: 200 200 200, cyan: 1 2 210}}", "brighter than 'bare'", "one picture"),
        ("{film: glass, lit: {bare: 200 200 200}}", "not in the catalogue", "film_types"),
    ],
)
def test_what_is_wrong_with_a_chart_is_told_at_its_place(chart, says, remedy):
    reading = read(chart)
    (found,) = [one for one in reading.findings if one.severity.name == "STOP"]
    assert says in found.message
    assert remedy in found.remedy
    assert "ours" in found.where.item


def test_a_chart_that_is_not_there_is_told():
    reading = read(OURS, named="mine")
    (found,) = [one for one in reading.findings if one.severity.name == "STOP"]
    assert found.code == "PRJ041"
    assert "chart" in found.message
