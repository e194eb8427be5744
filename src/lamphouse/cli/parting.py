"""The sub-commands parts and drawer: what to buy for a model, and the parts that models share."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.storage.drawer import Drawer
    from lamphouse.storage.holding import Holding

DRAWER = click.option(
    "--drawer",
    "drawer_path",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File of the shared drawer; else that of LAMPHOUSE_DRAWER, else your own.",
)
MONEY = "{:.2f} {}"
CUT = "sheets cut"
"""Noted at what the cutting of a project's sheets takes out and leaves."""


@click.command(
    epilog="""\b
Examples:
  lamphouse parts saltmarsh                         all it needs, and what to buy of it
  lamphouse parts saltmarsh --buy-only --spreadsheet shopping.xlsx
  lamphouse parts saltmarsh --shared                count on the shared drawer too
  lamphouse parts saltmarsh --reserve               and keep its share from other projects

Costs come from your own prices: the project's list, then the drawer's. Nothing is guessed."""
)
@commands.PROJECT
@click.option("--csv", "csv_file", type=click.Path(path_type=Path), help="Write the list as CSV.")
@click.option(
    "--spreadsheet", type=click.Path(path_type=Path), help="Write it as a workbook (.xlsx)."
)
@click.option("--buy-only", is_flag=True, help="Only what is to be bought.")
@click.option("--shared", is_flag=True, help="Count what the shared drawer has free.")
@click.option("--reserve", is_flag=True, help="Keep what it takes of the drawer for this project.")
@DRAWER
@commands.AS_JSON
def parts(
    project: Path,
    csv_file: Path | None,
    spreadsheet: Path | None,
    *,
    buy_only: bool,
    shared: bool,
    reserve: bool,
    drawer_path: Path | None,
    as_json: bool,
) -> int:
    """List the parts of PROJECT: need, spares, at hand, to buy in packs, rough cost, offcuts."""
    from lamphouse.outputs import answer, parts_lines, parts_table
    from lamphouse.outputs.drawer_sheets import laid_with
    from lamphouse.outputs.lists import to_bytes
    from lamphouse.plan import make
    from lamphouse.plan.sheeted import sheeted
    from lamphouse.storage.atomic import write_file

    reading = commands.read(project)
    if reading.design is None:
        broken = answer.parts(None, findings=reading.findings)
        return commands.say_broken(broken, findings=reading.findings, as_json=as_json)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    file, reserved = "", dict[str, float]()
    holdings: tuple[Holding, ...] = ()
    if not (shared or reserve or drawer_path):
        plan = sheeted(plan)
    else:
        with _opened(drawer_path) as drawer:
            file, holdings = str(drawer.path), drawer.holdings()
            plan = laid_with(plan, holdings=holdings)
            if reserve:
                name, wants = plan.design.name, parts_lines.wants(plan, holdings=holdings)
                reserved, holdings = drawer.promise(name, wants=wants), drawer.holdings()
    bill = parts_lines.bought(plan, holdings=holdings)
    written = []
    if csv_file:
        write_file(csv_file, to_bytes(parts_table.table(bill, buy_only=buy_only)))
        written.append(str(csv_file))
    if spreadsheet:
        made = parts_table.to_workbook(bill, title=plan.design.name, buy_only=buy_only)
        write_file(spreadsheet, made)
        written.append(str(spreadsheet))
    result = answer.parts(
        parts_lines.parts_result(
            plan, bill, buy_only=buy_only, drawer=file, reserved=reserved, files=written
        ),
        findings=[one for one in plan.findings if one.code.startswith("PAR")],
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_listed(result["result"])))
    return int(result["exit"])


@click.group(
    epilog="""\b
Examples:
  lamphouse drawer add "white 0603" 100 --price "6.00 EUR" --pack 100
  lamphouse drawer add "30 AWG insulated, red" "10 m"
  lamphouse drawer list
  lamphouse drawer take "white 0603" 7 --for "Saltmarsh Pilot Station"
  lamphouse drawer add "styrene 1.0 mm, 330 x 220 mm" 2
  lamphouse drawer cut saltmarsh                    its sheets out, their offcuts in
  lamphouse drawer export > drawer.csv"""
)
def drawer() -> None:
    """Keep small parts that several projects share, and promise each its own."""


@drawer.command("list")
@click.option("--find", default="", help="Only parts whose name holds this text.")
@DRAWER
@commands.AS_JSON
def list_parts(find: str, *, drawer_path: Path | None, as_json: bool) -> int:
    """List what is there, what is free, and to whom the rest is promised."""
    with _opened(drawer_path) as opened:
        return _told(opened, as_json=as_json, find=find)


@drawer.command()
@click.argument("part")
@click.argument("amount", default="")
@click.option("--price", help="What you pay for one pack, such as 6.00 EUR.")
@click.option("--pack", default="1", show_default=True, help="What one pack holds: 100, 10 m.")
@DRAWER
@commands.AS_JSON
def add(
    part: str,
    amount: str,
    *,
    price: str | None,
    pack: str,
    drawer_path: Path | None,
    as_json: bool,
) -> int:
    """Put AMOUNT of PART into the drawer, such as 100, 10 m or 17 ml, or note its price."""
    from lamphouse.project.amounts import parse_amount, parse_price
    from lamphouse.project.part_names import as_listed, checked_sheet
    from lamphouse.storage.holding import DrawerRefusalError
    from lamphouse.units import UnitError

    if not amount and not price:
        message = "name an amount, a --price, or both"
        raise click.UsageError(message)
    name = as_listed(part)
    try:
        checked_sheet(part)
        put = parse_amount(amount) if amount else None
        money = parse_price(price) if price else None
        size, unit = parse_amount(pack)
        done = []
        with _opened(drawer_path, make=True) as opened:
            if put:
                kept = opened.add(name, amount=put[0], unit=put[1])
                done.append(f"{kept.amount:g} {kept.unit} of {name} are there now")
            if money:
                opened.set_price(name, pack=size, unit=unit, hundredths=money[0], currency=money[1])
                cost = MONEY.format(money[0] / 100, money[1])
                done.append(f"{name}: {cost} for {size:g} {unit}")
            return _told(opened, as_json=as_json, done=done, only=name)
    except (UnitError, DrawerRefusalError) as fault:
        raise click.UsageError(str(fault)) from fault


@drawer.command()
@click.argument("part", required=False)
@click.argument("amount", default="")
@click.option("--for", "project", default="", help="Name of the project that uses it.")
@DRAWER
@commands.AS_JSON
def take(
    part: str | None, amount: str, *, project: str, drawer_path: Path | None, as_json: bool
) -> int:
    """Take AMOUNT of PART out; without PART, all that is promised to the project of --for."""
    from lamphouse.project.amounts import parse_amount
    from lamphouse.project.part_names import as_listed
    from lamphouse.storage.holding import DrawerRefusalError
    from lamphouse.units import UnitError

    if not part and not project:
        message = "name a part and an amount, or a project with --for"
        raise click.UsageError(message)
    try:
        with _opened(drawer_path) as opened:
            if part is None:
                taken = opened.take_promised(project)
                done = [f"{value:g} of {name} taken" for name, value in taken.items()]
                return _told(
                    opened, as_json=as_json, done=done or [f"nothing is promised to {project}"]
                )
            value, unit = parse_amount(amount or "1")
            name = as_listed(part)
            here = opened.holding(name)
            if here.unit != unit:
                message = f"'{name}' is counted in {here.unit} here, not in {unit}"
                raise click.UsageError(message)
            left = opened.take(name, amount=value, project=project)
            done = [f"{value:g} {unit} of {name} taken, {left.amount:g} left"]
            return _told(opened, as_json=as_json, done=done, only=name)
    except (UnitError, DrawerRefusalError) as fault:
        raise click.UsageError(str(fault)) from fault


@drawer.command()
@commands.PROJECT
@DRAWER
@commands.AS_JSON
def cut(project: Path, *, drawer_path: Path | None, as_json: bool) -> int:
    """Take out the sheets kept for PROJECT that it is cut from; put in what is left of all, once.

    Keep them with `lamphouse parts --reserve`; print with `lamphouse pack --shared`.
    """
    from lamphouse.outputs.drawer_sheets import kept_for, left_over, taken_sheets
    from lamphouse.plan import make
    from lamphouse.plan.sheeted import sheeted
    from lamphouse.storage.holding import DrawerRefusalError

    reading = commands.read(project)
    if reading.design is None:
        message = "the project's file must be mended first: lamphouse check"
        raise click.UsageError(message)
    plan = make.plan(reading.design, found=reading.findings, places=reading.places)
    try:
        with _opened(drawer_path, make=True) as opened:
            taken = opened.taken(plan.design.name)
            more = kept_for(plan, holdings=opened.holdings(), taken=taken)
            plan = sheeted(plan, more=more)
            wanted, into = taken_sheets(plan, more=more), left_over(plan)
            out = {part: count - int(taken.get(part, 0)) for part, count in wanted.items()}
            out = {part: count for part, count in out.items() if count > 0}
            opened.exchange(plan.design.name, out=out, into=into, note=CUT)
            done = [f"{count} of {part} taken" for part, count in sorted(out.items())]
            done += [f"{count} of {part} put in" for part, count in sorted(into.items())]
            return _told(opened, as_json=as_json, done=done or ["nothing is left of its sheets"])
    except DrawerRefusalError as fault:
        raise click.UsageError(str(fault)) from fault


@drawer.command()
@click.argument("project")
@DRAWER
@commands.AS_JSON
def release(project: str, *, drawer_path: Path | None, as_json: bool) -> int:
    """Take back what was promised to PROJECT, by its name."""
    with _opened(drawer_path) as opened:
        count = opened.release(project)
        return _told(opened, as_json=as_json, done=[f"{count} promises to {project} taken back"])


@drawer.command("check")
@DRAWER
@commands.AS_JSON
def check_drawer(*, drawer_path: Path | None, as_json: bool) -> int:
    """Look the whole file through; exit code 1 when something is wrong with it."""
    with _opened(drawer_path) as opened:
        faults = opened.faults()
        done = [] if faults else ["the drawer is sound"]
        return _told(opened, as_json=as_json, done=done, faults=faults, only="")


@drawer.command()
@click.argument("file", type=click.Path(path_type=Path), required=False)
@DRAWER
def export(file: Path | None, *, drawer_path: Path | None) -> int:
    """Write the drawer as text to FILE, or to the screen."""
    from lamphouse.storage.atomic import write_file
    from lamphouse.storage.drawer_text import as_text

    with _opened(drawer_path) as opened:
        text = as_text(opened)
    if file is None:
        click.echo(text, nl=False)
    else:
        write_file(file, text.encode())
        click.echo(f"wrote {file}")
    return 0


@drawer.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@DRAWER
@commands.AS_JSON
def bring_in(file: Path, *, drawer_path: Path | None, as_json: bool) -> int:
    """Fill an empty drawer from FILE, as `lamphouse drawer export` wrote it."""
    from lamphouse.storage.drawer_text import bring_back
    from lamphouse.storage.holding import DrawerRefusalError

    try:
        text = file.read_bytes().decode("utf-8")
        with _opened(drawer_path, make=True) as opened:
            count = bring_back(opened, text=text)
            return _told(opened, as_json=as_json, done=[f"{count} lines brought back"])
    except OSError as fault:
        if fault.filename == str(file):
            message = f"{file}: {fault.strerror}; name a text that was exported"
            raise commands.Unreadable(message) from fault
        raise
    except UnicodeDecodeError as fault:
        message = f"{file}: this is no text; name a text that was exported"
        raise commands.Unreadable(message) from fault
    except DrawerRefusalError as fault:
        raise click.UsageError(str(fault)) from fault


def _opened(path: Path | None, *, make: bool = False) -> "Drawer":
    from lamphouse.storage.drawer import Drawer
    from lamphouse.storage.drawer_place import drawer_file

    return Drawer(drawer_file(path), make=make)


def _told(
    opened: "Drawer",
    *,
    as_json: bool,
    done: list[str] | None = None,
    find: str = "",
    only: str | None = None,
    faults: tuple[str, ...] = (),
) -> int:
    """Answer a command of the drawer with the parts it is about."""
    from lamphouse.outputs import answer, parts_lines

    holdings = [
        one
        for one in opened.holdings()
        if find.casefold() in one.part.casefold() and only in (None, one.part)
    ]
    result = answer.drawer(
        parts_lines.drawer_result(
            str(opened.path), holdings=holdings, done=done or (), faults=faults
        )
    )
    if as_json:
        commands.say_json(result)
    else:
        click.echo("\n".join(_shown(result["result"], table=not done and not faults)))
    return int(result["exit"])


def _shown(result: Mapping[str, Any], *, table: bool) -> Iterator[str]:
    from lamphouse.cli import screen

    yield from result["done"]
    yield from result["faults"]
    if not table:
        return
    if not result["parts"]:
        yield f"{result['file']} is empty, or holds no such part"
        return
    rows = [
        (
            one["part"],
            f"{one['amount']:g} {one['unit']}",
            f"{one['free']:g}",
            "; ".join(f"{owner} {amount:g}" for owner, amount in one["promises"]) or "-",
            "-"
            if one["price"] is None
            else f"{MONEY.format(one['price'], one['currency'])} for {one['pack']:g} "
            f"{one['pack_unit']}",
        )
        for one in result["parts"]
    ]
    yield screen.table(("part", "there", "free", "promised to", "price"), rows)


def _listed(result: Mapping[str, Any]) -> Iterator[str]:
    """Show the parts list: amounts, what to buy and what it costs, then offcuts and totals."""
    from lamphouse.cli import screen

    rows = [
        (
            one["part"],
            f"{one['need']:.4g} {one['unit']}",
            f"{one['spares']:g}" if one["spares"] else "-",
            _or_dash(one["have"] + one["drawer"]),
            _or_dash(one["get"]),
            f"{one['packs']} of {one['pack']:g}" if one["packs"] else "-",
            "-"
            if not one["packs"] or one["cost"] is None
            else MONEY.format(one["cost"], one["currency"]),
        )
        for one in result["parts"]
    ]
    if rows:
        head = ("part", "need", "spares", "at hand", "to buy", "packs", "cost")
        yield screen.table(head, rows)
    else:
        yield "nothing to buy"
    yield ""
    for name in result["unlaid"]:
        yield f"fits no sheet: {name}"
    for one in result["offcuts"]:
        yield (
            f"offcut of {one['sheet']}, sheet {one['number']}: "
            f"{int(one['width_mm'])} x {int(one['height_mm'])} mm"
        )
    for total in result["totals"]:
        yield f"to pay, roughly: {MONEY.format(total['cost'], total['currency'])}"
    if result["unpriced"]:
        yield f"{result['unpriced']} parts to buy have no price in your lists"
    for part, amount in result["reserved"]:
        yield f"kept for this project: {amount:g} of {part}"
    for file in result["files"]:
        yield f"wrote {file}"


def _or_dash(amount: float) -> str:
    return f"{amount:.4g}" if amount else "-"
