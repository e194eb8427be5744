"""Answers as text for a terminal."""

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import TracebackType
from typing import Any, Self

import click

from lamphouse import units
from lamphouse.findings import Finding, Severity
from lamphouse.units import Quantity

COLOURS = {Severity.STOP: "red", Severity.WARN: "yellow", Severity.NOTE: "cyan"}
NOUNS = {Severity.STOP: "stop(s)", Severity.WARN: "warning(s)", Severity.NOTE: "note(s)"}
LABEL_WIDTH = 9
QUANTITIES = {
    "_ohm_per_m": Quantity.RESISTANCE_PER_LENGTH,
    "_V_per_K": Quantity.FORWARD_DRIFT,
    "_degC": Quantity.TEMPERATURE,
    "_deg": Quantity.ANGLE,
    "_ohm": Quantity.RESISTANCE,
    "_Ah": Quantity.CAPACITY,
    "_mm": Quantity.LENGTH,
    "_nm": Quantity.WAVELENGTH,
    "_lm": Quantity.FLUX,
    "_A": Quantity.CURRENT,
    "_V": Quantity.VOLTAGE,
    "_W": Quantity.POWER,
    "_K": Quantity.COLOUR_TEMPERATURE,
}
"""What the ending of a record's field says it measures; longer endings first."""


def findings(found: Sequence[Finding]) -> str:
    """List findings, one paragraph each: place, message, mend, code."""
    width = max(shutil.get_terminal_size((96, 24)).columns, 50)
    return "".join(_paragraph(finding, width=width) + "\n" for finding in found)


def _paragraph(finding: Finding, *, width: int) -> str:
    label = finding.severity if finding.stands else "accepted"
    colour = COLOURS[finding.severity] if finding.stands else None
    text = str(finding)
    if finding.accepted:
        text += f" (accepted: {finding.accepted})"
    if sys.stdout.isatty():
        text = textwrap.fill(
            text,
            width=width,
            initial_indent=" " * LABEL_WIDTH,
            subsequent_indent=" " * LABEL_WIDTH,
            break_on_hyphens=False,
            break_long_words=False,
        ).lstrip()
    return click.style(f"{label:<{LABEL_WIDTH}}", fg=colour, bold=finding.stands) + text


def tally(found: Sequence[Finding]) -> str:
    """Count the findings that stand, in one line."""
    standing = [finding.severity for finding in found if finding.stands]
    accepted = len(found) - len(standing)
    parts = [f"{standing.count(severity)} {NOUNS[severity]}" for severity in Severity]
    return ", ".join(parts) + (f"; {accepted} accepted" if accepted else "")


def summary(result: Mapping[str, Any]) -> str:
    """Show what a check computed: one row per sub-assembly and the supply's load."""
    rows = [
        (
            sub["name"],
            str(sub["leds"]),
            str(sub["strands"]),
            str(sub["strings"]),
            str(sub["pieces"]),
            _band(sub["plug_mA"]),
        )
        for sub in result["sub_assemblies"]
    ]
    heading = f"{result['name']}, 1:{result['scale']:g}, revision {result['revision']}"
    head = ("sub-assembly", "LEDs", "strands", "strings", "pieces", "mA at the plug")
    lines = ["", click.style(heading, bold=True), table(head, rows)]
    if result["glows"]:
        lines += ["", _openings(result["glows"]), ""]
    if result["supply_mA"]:
        lines.append(
            f"supply: {_band(result['supply_mA'])} mA, "
            f"{result['supply_share']:.0%} of what it gives at the worst"
        )
    if result["run_time_h"] is not None:
        lines.append(f"run time: {result['run_time_h']:.3g} h (nominal capacity over current)")
    lines += _feed(result["feed"])
    if result["loom"]:
        lines.append(_loom(result["loom"]))
    return "\n".join([*lines, ""])


def _loom(loom: Mapping[str, Any]) -> str:
    """Sum up the wiring under the floor."""
    lost = units.show(loom["largest_drop_V"], Quantity.VOLTAGE, digits=2)
    return (
        f"loom: {loom['runs']} runs of {loom['wire_m']:.3g} m in all, {loom['feeds']} feed(s), "
        f"{loom['sockets']} socket(s), at most {lost} lost"
    )


def _feed(feed: Mapping[str, Any]) -> Iterator[str]:
    """Tell of cells, and of what stands between the supply and the plugs."""
    if feed["cells"]:
        behind = (feed["cells"], feed["fuse"] and f"fuse {feed['fuse']}", feed["protection"])
        yield f"cells: {', '.join(part for part in behind if part)}"
    for state, words in (("bright", "bright for"), ("dark", "dark after")):
        if feed[f"{state}_h"]:
            yield f"{words} {_band(feed[f'{state}_h'])} h, when {feed[f'{state}_ends']}"


def _openings(glows: Sequence[Mapping[str, Any]]) -> str:
    """Show how every lit opening glows, in short."""
    rows = [
        (
            f"{glow['sub_assembly']} / {glow['opening']}",
            _band(glow["mean_cd_m2"]),
            f"{glow['evenness']:.0%}",
            _colour(glow["colour"]),
            glow["verdict"] or "-",
        )
        for glow in glows
    ]
    return table(("lit opening", "cd/m2", "evenness", "colour", "verdict"), rows)


def _colour(colour: Mapping[str, Any] | None) -> str:
    """Say a colour in short: ``cool white 6500 K``, ``amber``."""
    if colour is None:
        return "-"
    kelvin = "" if colour["cct_K"] is None else f" {colour['cct_K']:.0f} K"
    return f"{colour['name']}{kelvin}"


def _colours(glows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Give the lines of the table of colours, lit and unlit."""
    rows = []
    for glow in glows:
        colour = glow["colour"]
        if colour is None:
            continue
        doubt = f" ±{_short(colour['doubt'], digits=1)}" if colour["doubt"] else ""
        rows.append(
            (
                f"{glow['sub_assembly']} / {glow['opening']}",
                _colour(colour),
                f"{colour['x']:.3f}, {colour['y']:.3f}",
                " ".join(f"{part:.0f}" for part in colour["lab"]) + doubt,
                f"{colour['colourfulness']:.0f}",
                colour["unlit"] or "-",
                colour["wanted"] or "-",
            )
        )
    if rows:
        yield ""
        head = ("opening", "colour", "x, y", "L*a*b* ±dE", "colourful", "unlit", "wanted")
        yield table(head, rows)


def _wanted(glow: Mapping[str, Any]) -> str:
    if glow["wanted_cd_m2"] is None:
        return "-"
    least, most = glow["wanted_cd_m2"]
    return f"{least:g} to {most:g}, {glow['wanted_evenness']:.0%}"


def glow(result: Mapping[str, Any]) -> str:
    """Show how openings glow box by box, what random walks say, and where the pictures are."""
    opinions = result["second_opinions"]
    walks = {
        (opinion["sub_assembly"], opinion["box"], found["opening"]): (
            f"{found['mean_cd_m2']:.4g} within {found['error_cd_m2']:.2g}"
        )
        for opinion in opinions
        for found in opinion["found"]
    }
    lines = list(_box_by_box(result["glows"], walks=walks)) or ["nothing is lit"]
    lines += [
        f"no second opinion on '{opinion['box']}': {opinion['refused']}"
        for opinion in opinions
        if opinion["refused"]
    ]
    if result["room_lx"] and result["glows"]:
        lines.append(
            f"room: what {result['room_lx']:g} lx add to the figures, which are for the dark"
        )
    lines += _colours(result["glows"])
    if walks:
        lines.append("random walks: mean, within one standard error")
    if result["files"]:
        lines.append(f"wrote {len(result['files'])} files to {result['folder']}")
    return "\n".join([*lines, ""])


def _box_by_box(
    glows: Sequence[Mapping[str, Any]], *, walks: Mapping[tuple[str, str, str], str]
) -> Iterator[str]:
    """Give the lines of one table, each box's openings under its name."""
    head = ("opening", "cd/m2", "evenness", "hot spot", "room", "wanted", "verdict")
    rows = [
        (
            glow["opening"],
            _barred(glow["mean_cd_m2"], bar=glow["bar_cd_m2"]),
            f"{glow['evenness']:.0%}",
            f"{glow['hot_spot']:.0%}",
            _short(glow["room_cd_m2"], digits=2),
            _wanted(glow),
            glow["verdict"] or "-",
            *([walks.get(_place(glow), "-")] if walks else []),
        )
        for glow in glows
    ]
    if not rows:
        return
    first, *others = table((*head, *(["random walks"] if walks else [])), rows).splitlines()
    yield first
    last = None
    for glow, line in zip(glows, others, strict=True):
        box = f"{glow['sub_assembly']} / {glow['panel']} / {glow['box']}:"
        if box != last:
            yield box
        yield line
        last = box


def _barred(band: Mapping[str, float], *, bar: float) -> str:
    low, high = (_short(band[end]) for end in ("low", "high"))
    return f"{barred(band['nominal'], bar=bar)} ({low} to {high})"


def barred(value: float, *, bar: float) -> str:
    """Write a figure with its bar: ``51.7 ±0.2``."""
    return f"{_short(value)} ±{_short(bar, digits=1)}"


def _short(value: float, *, digits: int = 3) -> str:
    """Write a number in so many digits and not as a power of ten."""
    return f"{float(f'{value:.{digits}g}'):g}"


def _place(glow: Mapping[str, Any]) -> tuple[str, str, str]:
    return glow["sub_assembly"], glow["box"], glow["opening"]


def _band(band: Mapping[str, float] | None) -> str:
    if band is None:
        return "-"
    low, nominal, high = (_short(band[end]) for end in ("low", "nominal", "high"))
    return f"{nominal} ({low} to {high})"


def stock(result: Mapping[str, Any]) -> str:
    """Show the tables of the catalogue, or the rows of one."""
    if not result["table"]:
        rows = [(t["name"], str(t["rows"])) for t in result["tables"] if t["rows"]]
        if not rows:
            return "no such row in any table"
        return table(("table", "rows"), rows) + "\n\nOne table: lamphouse stock TABLE"
    if not result["rows"]:
        return "no such row"
    columns = [name for name in result["rows"][0] if name != "origin"]
    rows = [
        (
            *(_by_name(name, row[name]) for name in columns),
            row["origin"]["kind"],
            row["origin"]["source"],
        )
        for row in result["rows"]
    ]
    typical = any(row["origin"]["kind"] == "typical" for row in result["rows"])
    advice = "\n\ntypical: of the class, not one part; measure yours" if typical else ""
    return table((*map(_heading, columns), "kind", "source"), rows) + advice


def _by_name(name: str, value: Any) -> str:
    """Write a cell as its column is typed in a parts file, where its value alone does not say."""
    if value is not None and name == "beam_points":
        return "; ".join(
            f"{units.show(share, Quantity.SHARE)} at {at:g} deg" for at, share in value
        )
    if value is not None and name == "haze":
        even, lobe, straight = (
            units.show(value[part], Quantity.SHARE) for part in ("even", "lobe", "straight")
        )
        return f"{even} even; {lobe} within {value['width_deg']:g} deg; {straight} straight"
    return _cell(value, quantity=_quantity_of(name))


def _quantity_of(name: str) -> Quantity | None:
    """Read from the end of a column's name what it measures."""
    return next((q for ending, q in QUANTITIES.items() if name.endswith(ending)), None)


def _heading(name: str) -> str:
    ending = next((ending for ending in QUANTITIES if name.endswith(ending)), "")
    return name.removesuffix(ending).replace("_", " ")


def _cell(value: Any, *, quantity: Quantity | None) -> str:
    if value is None:
        return "-"
    if isinstance(value, (list, tuple)):
        if value and isinstance(value[0], (list, tuple)):  # an LED's curve, or a cell's discharge
            of = Quantity.SHARE if quantity else Quantity.CURRENT
            return ", ".join(
                f"{units.show(volts, Quantity.VOLTAGE)} at {units.show(at, of)}"
                for at, volts in value
            )
        return " x ".join(_cell(part, quantity=quantity) for part in value)
    if quantity and isinstance(value, float):
        return units.show(value, quantity)
    return f"{value:.4g}" if isinstance(value, float) else units.both_codes(str(value))


def doctor(result: Mapping[str, Any]) -> str:
    """Show what doctor found."""
    lines = []
    for symptom in result["symptoms"]:
        missing = "MISSING" if symptom["needed"] else "not there"
        state = symptom["found"] or missing
        lines.append(f"{symptom['name']:<20} {state:<28} {symptom['use']}")
        if not symptom["found"]:
            lines.append(f"{'':<20} {symptom['mend']}")
    whole = "This installation is whole." if result["whole"] else "Something needed is missing."
    return "\n".join([*lines, "", whole])


def prove(result: Mapping[str, Any]) -> str:
    """Show what running the programs came to."""
    lines = []
    for run in result["runs"]:
        differences = f"{run['differences']} difference{'s' * (run['differences'] != 1)}"
        lines.append(
            f"{run['controller']:<20} ran {run['ran_s']:.4g} s of model time: {differences} in "
            f"{run['compared']} values, the farthest {100 * run['worst']:.2g} % off"
        )
        lines.append(f"{'':<20} {run['file']}; {', '.join(run['tools'])}")
    for one in result["not_run"]:
        lines.append(f"{one['controller']:<20} NOT RUN: {one['why']}")
    if not lines:
        lines.append("nothing to run: no controller switches anything in this project")
    if result["file"]:
        lines += [
            "",
            f"wrote {result['file']}; the pack prints it while the program stays as it is",
        ]
    return "\n".join(lines)


def upgrade(result: Mapping[str, Any]) -> str:
    """Show what an upgrade did."""
    if not result["steps"]:
        return f"{result['file']} is already of layout {result['version']}"
    return "\n".join(
        [*result["steps"], f"wrote {result['file']}; the old one is {result['old_file']}"]
    )


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Set rows in columns under their headings."""
    lines = [tuple(head), *map(tuple, rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


class Progress:
    """Progress of long work on the error stream; silent where nobody looks."""

    def __init__(self, *, silent: bool) -> None:
        self._silent = silent or not sys.stderr.isatty()

    def __enter__(self) -> Self:
        """Begin to tell."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Clear the line, whatever came of the work."""
        self._show("")

    def __call__(self, done: int, of: int, what: str) -> None:
        """Tell how far the work is."""
        self._show(f"{done}/{of} {what}")

    def _show(self, text: str) -> None:
        if not self._silent:
            click.echo(f"\r\x1b[K{text}", err=True, nl=False)
