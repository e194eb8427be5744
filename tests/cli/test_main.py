"""The commands as a shell sees them: exit codes, JSON in its documented shape, nothing lost."""

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from lamphouse.cli import main
from lamphouse.outputs import answer
from tolerances import EXACT

COMMANDS = (
    "new",
    "check",
    "glow",
    "colour",
    "artwork",
    "pack",
    "stock",
    "suggest",
    "balance",
    "fault",
    "log",
    "open",
    "photo",
    "prove",
    "steps",
    "parts",
    "drawer",
    "card",
    "trace",
    "doctor",
    "schema",
    "upgrade",
)


@pytest.fixture
def call(capsys, monkeypatch, tmp_path):
    """Run a command in an empty folder; give exit code, output and error output."""
    monkeypatch.chdir(tmp_path)

    def run(*words):
        with pytest.raises(SystemExit) as leaving:
            main.run(list(map(str, words)))
        said = capsys.readouterr()
        return leaving.value.code or 0, said.out, said.err

    return run


@pytest.fixture
def saltmarsh(call):
    call("new", "saltmarsh", "--from", "saltmarsh")
    return Path("saltmarsh")


@pytest.fixture
def answered(call):
    """Run a command with --json and hold its answer against the schema."""

    def run(*words):
        code, out, _ = call(*words, "--json")
        told = json.loads(out)
        jsonschema.validate(told, answer.schema())
        assert told["exit"] == code
        return told

    return run


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_examples(call, name):
    code, out, _ = call(name, "--help")
    assert code == 0
    assert "Example" in out
    assert f"lamphouse {name}" in out.split("Example", 1)[1]


def test_every_command_is_listed(call):
    assert set(COMMANDS) == set(main.command.commands)
    _, out, _ = call("--help")
    assert all(f"  {name}" in out for name in COMMANDS)


def test_a_new_project_has_no_stops(call):
    assert call("new", "first")[0] == 0
    code, out, _ = call("check", "first")
    assert code == 0
    assert "0 stop(s)" in out


def test_a_demo_of_modules_is_written_with_as_many_as_asked(call):
    code, out, _ = call("new", "museum", "--from", "gorge", "--modules", "2")
    assert (code, out.count("wrote")) == (0, 2)
    text = Path("museum/project.yaml").read_text(encoding="utf-8")
    assert "M2 gauge wall" in text
    assert "M3" not in text


def test_new_never_overwrites(call, saltmarsh):
    before = (saltmarsh / "project.yaml").read_bytes()
    code, _, err = call("new", saltmarsh)
    assert code == 2
    assert "there already" in err
    assert (saltmarsh / "project.yaml").read_bytes() == before


def test_check_finds_the_planted_mistakes(answered, saltmarsh):
    told = answered("check", saltmarsh)
    stops = {(f["code"], f["item"]) for f in told["findings"] if f["severity"] == "stop"}
    assert stops == {("CIR020", "chart table / S1"), ("CUT040", "bay / glazing / layer 2")}
    assert told["exit"] == 1
    assert all(f["line"] > 0 and f["remedy"] for f in told["findings"])


def test_the_mended_project_counts_what_the_scenario_says(answered, saltmarsh):
    result = answered("check", saltmarsh / "mended.yaml")["result"]
    subs = result["sub_assemblies"]
    assert sum(sub["leds"] for sub in subs) == 30
    assert sum(sub["strands"] for sub in subs) == 45
    assert len(subs) == 6


def test_text_names_file_line_item_reason_and_mend(call, saltmarsh):
    _, out, _ = call("check", saltmarsh)
    line = next(line for line in out.splitlines() if "[CIR020]" in line)
    assert line.startswith("stop")
    assert "saltmarsh/project.yaml:" in line
    assert "chart table / S1: 4 LEDs in series" in line


def test_pack_writes_what_it_says(answered, saltmarsh):
    told = answered("pack", saltmarsh / "mended.yaml")
    folder = Path(told["result"]["folder"])
    written = {path.relative_to(folder).as_posix() for path in folder.rglob("*.*")}
    assert written == set(told["result"]["files"])
    assert (folder / "pack.pdf").read_bytes().startswith(b"%PDF")


def test_glow_tells_every_lit_opening(answered, saltmarsh):
    told = answered("glow", saltmarsh / "mended.yaml")["result"]
    assert [glow["opening"] for glow in told["glows"]] == [
        "screen",
        "plotting display",
        "tide board",
    ]
    assert {glow["verdict"] for glow in told["glows"]} == {"as wanted"}
    assert told["room_lx"] == 50.0
    assert told["files"] == []


def test_glow_says_what_stands_against_an_opening(call, saltmarsh):
    _, out, _ = call("glow", saltmarsh, "--box", "plotting box")
    assert "[LIT011]" in out
    row = next(line for line in out.splitlines() if "plotting display" in line and "%  " in line)
    assert row.endswith("hot spot")
    assert "tide board" not in out


def test_the_stop_of_a_box_without_figures_is_told_with_the_glow(call):
    call("new", "saltmarsh", "--from", "saltmarsh")
    file = Path("saltmarsh/mended.yaml")
    text = file.read_text(encoding="utf-8")
    bow = "{points: [[-20 mm, -20 mm], [20 mm, 20 mm], [20 mm, -20 mm], [-20 mm, 20 mm]]}"
    file.write_text(text.replace("rectangle 38 x 38 mm", bow), encoding="utf-8")
    code, out, _ = call("glow", file)
    assert code == 1
    assert "the inside of box 'plotting box' crosses itself" in out
    assert out.count("LIT009") == 1  # of the bay's windows, which never had a box
    code, out, _ = call("glow", file, "--box", "tide box")
    assert code == 0
    assert "plotting box" not in out


def test_glow_in_another_room_changes_only_what_the_room_adds(answered, saltmarsh):
    mended = saltmarsh / "mended.yaml"
    here, there = (
        answered("glow", mended, "--room", light)["result"]["glows"] for light in ("50 lx", "10 lx")
    )
    for one, other in zip(here, there, strict=True):
        assert one["room_cd_m2"] == pytest.approx(5.0 * other["room_cd_m2"], rel=EXACT)
        assert one["mean_cd_m2"] == other["mean_cd_m2"]


def test_glow_writes_its_pictures_into_a_folder_of_their_own(call, answered, saltmarsh):
    words = ("glow", saltmarsh / "mended.yaml", "--box", "screen box", "--into", "pictures")
    told = answered(*words)["result"]
    written = {path.name for path in Path("pictures").iterdir()}
    assert written == set(told["files"])
    assert {"chart-table-top-in-the-dark.png", "chart-table-top-screen-evenness.svg"} < written
    assert call(*words)[0] == 0
    Path("pictures/mine.txt").write_text("mine")
    code, _, err = call(*words)
    assert code == 2
    assert "mine.txt" in err


def test_glow_shows_random_walks_beside_its_figure(answered, saltmarsh):
    pytest.importorskip("numba")
    words = ("glow", saltmarsh / "mended.yaml", "--box", "screen box", "--verify")
    told = answered(*words)["result"]
    (opinion,) = told["second_opinions"]
    (seen,), (glow,) = opinion["found"], told["glows"]
    off = abs(seen["mean_cd_m2"] - glow["mean_cd_m2"]["nominal"])
    assert off < 3.0 * seen["error_cd_m2"] + glow["bar_cd_m2"]
    assert opinion["refused"] == ""


def test_a_project_with_stops_gets_its_pack_and_exit_1(answered, saltmarsh):
    told = answered("pack", saltmarsh, "--into", "bench", "--paper", "letter")
    assert told["exit"] == 1
    assert Path("bench/pack.pdf").is_file()


def test_a_project_that_cannot_be_understood_gets_no_pack(answered, tmp_path):
    (tmp_path / "project.yaml").write_text("lamphouse: 1\nname: [\n")
    told = answered("pack")
    assert told["exit"] == 2
    assert told["result"] is None
    assert told["findings"]
    assert not Path("pack").exists()


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("check", "nowhere"), 2),
        (("frob",), 3),
        (("check", "--frob"), 3),
        (("stock", "teapots"), 3),
        (("new", "x", "--from", "atlantis"), 3),
        (("new", "x", "--modules", "2"), 3),
        (("new", "x", "--from", "saltmarsh", "--modules", "2"), 3),
        (("new", "x", "--from", "gorge", "--modules", "0"), 3),
        (("new", "x", "--from", "gorge", "--modules", "1000000000"), 3),
        (("schema", "teapot"), 3),
        (("pack", "nowhere"), 2),
        (("upgrade", "nowhere"), 2),
        (("glow", "nowhere"), 2),
        (("glow", "saltmarsh", "--box", "teapot"), 3),
        (("glow", "saltmarsh", "--room", "bright"), 3),
        (("glow", "saltmarsh", "--room", "-5 lx"), 3),
    ],
)
def test_refusals_have_their_exit_code_in_text_and_json(call, saltmarsh, words, code):
    assert saltmarsh.is_dir()
    plain_code, out, err = call(*words)
    assert (plain_code, out) == (code, "")
    assert "Traceback" not in err
    json_code, out, _ = call(*words, "--json")
    told = json.loads(out)
    jsonschema.validate(told, answer.schema())
    assert json_code == told["exit"] == code
    assert told["error"]


def test_stock_lists_tables_and_rows_with_their_origin(answered):
    tables = {table["name"] for table in answered("stock")["result"]["tables"]}
    for table in tables:
        rows = answered("stock", table)["result"]["rows"]
        assert rows
        assert all(row["origin"]["source"] and row["origin"]["day"] for row in rows)


def test_stock_shows_a_beam_and_a_haze_as_they_are_typed(call):
    """Written as text, read by the tables, shown, and read again from what is shown."""
    call("new", "own", "--from", "Night Studio")  # as the page and the docs name it
    beam, haze = (
        "20 % at 0 deg; 100 % at 60 deg; 0 % at 80 deg",
        ("55 % even; 35 % within 30 deg; 10 % straight"),
    )
    parts = Path("own/parts")
    parts.mkdir()
    origin = "own meter,measured,2026-11-25"
    (parts / "film_types.csv").write_text(
        "name,use,thickness,transmittance,reflectance,haze,source,kind,date\n"
        f"my haze,diffuser,0.2 mm,70 %,20 %,{haze},{origin}\n"
    )
    (parts / "led_types.csv").write_text(
        "name,package,size,colour,peak,white point,forward curve,spread,drift,max current,flux,"
        "beam,beam points,source,kind,date\n"
        "side white,0603,1.6 x 0.8 x 0.6 mm,white,,6500 K,2.6 V at 0.3 mA; 3 V at 20 mA,0.2 V,"
        f"-3 mV/K,20 mA,1.2 lm at 5 mA,140 deg,{beam},{origin}\n"
    )
    for name, shown in (("film_types", haze), ("led_types", beam)):
        code, out, _ = call("stock", name, "--project", "own")
        assert code == 0
        assert shown in out


def test_stock_marks_typical_figures(call):
    _, out, _ = call("stock", "led_types")
    assert "measure yours" in out


OWN_FIBRE = (
    "name,diameter,numerical aperture,hole clearance,bend radius,source,kind,date\n"
    "fibre 0.5 mm,0.52 mm,0.5,0.02 to 0.05 mm,17 mm,my calliper,measured,2026-11-20\n"
)


def test_own_parts_override_by_name(answered, saltmarsh):
    (saltmarsh / "parts").mkdir()
    (saltmarsh / "parts" / "fibre_types.csv").write_text(OWN_FIBRE)
    told = answered("stock", "fibre_types", "--project", saltmarsh, "--find", "0.5 mm")
    assert [row["diameter_mm"] for row in told["result"]["rows"]] == [0.52]
    assert [f["code"] for f in told["findings"]] == ["CAT007"]


def test_an_unreadable_parts_file_is_a_stop_and_changes_nothing(answered, saltmarsh):
    rows = answered("stock", "fibre_types")["result"]["rows"]
    (saltmarsh / "parts").mkdir()
    (saltmarsh / "parts" / "fibre_types.csv").write_text("nonsense\n1,2,3\n")
    told = answered("stock", "fibre_types", "--project", saltmarsh)
    assert told["exit"] == 1
    assert told["findings"][0]["file"] == "parts/fibre_types.csv"
    assert told["result"]["rows"] == rows


def test_doctor_sees_a_missing_tool(answered, monkeypatch):
    monkeypatch.setenv("PATH", "")
    told = answered("doctor")
    symptoms = {symptom["name"]: symptom for symptom in told["result"]["symptoms"]}
    for name in ("pdftoppm", "ngspice"):
        assert not symptoms[name]["found"]
        assert not symptoms[name]["needed"]
    assert told["result"]["whole"]


@pytest.mark.parametrize("name", ["project", "plan", "answer"])
def test_schemas_are_schemas(call, name):
    _, out, _ = call("schema", name)
    jsonschema.Draft202012Validator.check_schema(json.loads(out))


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8"])
def test_a_screen_that_lacks_signs_still_shows_the_answer(saltmarsh, encoding):
    file = saltmarsh / "mended.yaml"
    name = "\u041b\u043e\u0446\u043c\u0430\u043d \U0001f4a1"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("Saltmarsh Pilot Station", name), encoding="utf-8")
    command = [sys.executable, "-c", "from lamphouse.cli import main; main.run()", "check"]
    for words in ([str(file)], [str(file), "--json"]):
        done = subprocess.run(
            [*command, *words],
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=True,
        )
        assert not done.stderr
        if "--json" in words:
            assert json.loads(done.stdout.decode(encoding))["result"]["name"] == name
        elif encoding == "utf-8":
            assert name in done.stdout.decode()
        else:
            assert "\\u041b" in done.stdout.decode(encoding)


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such names")
def test_a_file_whose_name_is_no_text_gets_its_pack(saltmarsh):
    odd = os.fsencode(saltmarsh) + b"/\xff.yaml"
    (saltmarsh / "mended.yaml").rename(os.fsdecode(odd))
    script = (
        "import os, sys; from lamphouse.cli import main\n"
        f"main.run(['pack', os.fsdecode({odd!r}), '--into', {str(saltmarsh / 'pack')!r}])"
    )
    subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    json.loads((saltmarsh / "pack" / "plan.json").read_text(encoding="utf-8"))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["check"], "project.yaml"),
        (["check"], "parts/wires.csv"),
        (["pack"], "project.yaml"),
        (["stock", "--project"], "parts/wires.csv"),
        (["upgrade"], "project.yaml"),
    ],
)
def test_a_pipe_in_the_place_of_a_file_is_refused_at_once(call, saltmarsh, words, name):
    (saltmarsh / "parts").mkdir(exist_ok=True)
    (saltmarsh / name).unlink(missing_ok=True)
    os.mkfifo(saltmarsh / name)
    code, _, said = call(*words, saltmarsh)
    assert code == 2
    assert name in said
    assert "a pipe or a device" in said


def test_a_folder_called_like_a_parts_file_is_passed_over(answered, saltmarsh):
    (saltmarsh / "parts" / "wires.csv").mkdir(parents=True)
    assert answered("check", saltmarsh / "mended.yaml")["exit"] == 0


def test_a_name_too_long_for_the_disk_is_said_so(call):
    code, _, err = call("new", "x" * 300)
    assert code == 2
    assert "use a shorter name" in err


def test_stock_looks_through_every_table(answered, call):
    tables = answered("stock", "--find", "cyan gel")["result"]["tables"]
    assert {table["name"] for table in tables if table["rows"]} == {"film_types"}
    assert "no such row in any table" in call("stock", "--find", "zzzz")[1]


def test_a_pack_makes_the_folders_above_it(call, saltmarsh):
    code, _, _ = call("pack", saltmarsh / "mended.yaml", "--into", "bench/new/pack")
    assert code == 0
    assert Path("bench/new/pack/pack.pdf").exists()


def test_a_closed_pipe_is_no_fault():
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-c", "from lamphouse.cli.main import run; run()", "stock", "drills"],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert done.stderr == b""


def test_help_imports_no_heavy_library():
    script = (
        "import sys; from lamphouse.cli import main\n"
        "try: main.run(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'pydantic', 'ruamel', 'shapely', 'typst', 'ezdxf', 'scipy'}\n"
        "print('HEAVY', sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert "HEAVY []" in done.stdout


def test_check_imports_only_what_it_needs(saltmarsh):
    script = (
        "import sys; from lamphouse.cli import main\n"
        f"try: main.run(['check', {str(saltmarsh)!r}])\n"
        "except SystemExit: pass\n"
        "heavy = {'typst', 'ezdxf', 'scipy', 'ruamel', 'numpy.ma'}\n"
        "heavy |= {'lamphouse.build.schedule', 'lamphouse.circuit.nodal'}\n"
        "print('HEAVY', sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert "HEAVY []" in done.stdout
