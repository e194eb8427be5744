"""The shared drawer: never more promised than is there, whoever asks at once, whatever dies."""

import os
import sqlite3

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from lamphouse.storage.drawer import Drawer
from lamphouse.storage.drawer_place import drawer_file
from lamphouse.storage.drawer_text import as_text, bring_back
from lamphouse.storage.holding import DrawerRefusalError
from lamphouse.storage.refusal import StorageError
from storage.killing import kill_often

LED = "white 0603"


@pytest.fixture
def drawer(tmp_path):
    with Drawer(tmp_path / "drawer.sqlite") as opened:
        yield opened


def sound(path):
    """Ask SQLite itself, on a connection of the test's own."""
    base = sqlite3.connect(path)
    try:
        (said,) = base.execute("PRAGMA integrity_check").fetchone()
        over = base.execute(
            "SELECT part FROM holding WHERE milli < "
            "(SELECT TOTAL(milli) FROM promise WHERE promise.part = holding.part)"
        ).fetchall()
        moved = base.execute(
            "SELECT holding.part FROM holding LEFT JOIN move USING (part) "
            "GROUP BY holding.part HAVING holding.milli <> TOTAL(move.milli)"
        ).fetchall()
    finally:
        base.close()
    return said == "ok" and not over and not moved


def test_what_is_promised_to_one_is_not_free_for_another(drawer):
    drawer.add(LED, amount=5, unit="pieces")
    assert drawer.promise("first", wants={LED: (5, "pieces")}) == {LED: 5.0}
    assert drawer.promise("second", wants={LED: (5, "pieces")}) == {}
    drawer.release("first")
    assert drawer.promise("second", wants={LED: (3, "pieces")}) == {LED: 3.0}
    assert drawer.holding(LED).free == 2.0


def test_promised_anew_replaces_what_was_promised(drawer):
    drawer.add(LED, amount=5, unit="pieces")
    drawer.promise("first", wants={LED: (4, "pieces")})
    drawer.promise("first", wants={LED: (2, "pieces")})
    assert drawer.holding(LED).promises == (("first", 2.0),)


def test_taking_uses_up_ones_own_promise_and_never_anothers(drawer):
    drawer.add(LED, amount=10, unit="pieces")
    drawer.promise("first", wants={LED: (6, "pieces")})
    with pytest.raises(DrawerRefusalError, match="only 4 of 10 pieces"):
        drawer.take(LED, amount=5, project="second")
    assert drawer.take(LED, amount=4, project="first").promises == (("first", 2.0),)
    assert drawer.take_promised("first") == {LED: 2.0}
    assert drawer.holding(LED).amount == 4.0
    assert drawer.faults() == ()


@pytest.mark.parametrize("amount", [0, -1, float("nan"), float("inf"), 1e12])
def test_no_amount_is_refused(drawer, amount):
    with pytest.raises(DrawerRefusalError):
        drawer.add(LED, amount=amount, unit="pieces")


@pytest.mark.parametrize("name", ["", "  ", "x" * 121, "a\x00b", "a\u202eb"])
def test_what_is_no_name_is_refused(drawer, name):
    with pytest.raises(DrawerRefusalError):
        drawer.add(name, amount=1, unit="pieces")


def test_a_part_keeps_its_unit(drawer):
    drawer.add("red wire", amount=10, unit="m")
    with pytest.raises(DrawerRefusalError, match="counted in m"):
        drawer.add("red wire", amount=1, unit="pieces")


def test_nothing_is_read_as_a_command(drawer):
    name = "x'); DROP TABLE holding; --"
    drawer.add(name, amount=1, unit="pieces")
    assert drawer.holding(name).amount == 1.0


def test_as_text_and_back(drawer, tmp_path):
    drawer.add(LED, amount=7, unit="pieces")
    drawer.add('wire, "red"', amount=2.5, unit="m")
    drawer.promise("a model, big", wants={LED: (3, "pieces")})
    drawer.set_price(LED, pack=100, unit="pieces", hundredths=605, currency="EUR")
    text = as_text(drawer)
    with Drawer(tmp_path / "other.sqlite") as other:
        assert bring_back(other, text=text) == 4
        assert other.holdings() == drawer.holdings()
        assert as_text(other) == text
        assert other.faults() == ()
        with pytest.raises(DrawerRefusalError, match="not empty"):
            bring_back(other, text=text)


HEAD = "what,part,amount,unit,project,price,currency\n"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "nonsense",
        HEAD + "holding,a,nan,pieces,,,",
        HEAD + "holding,a,1e400,pieces,,,",
        HEAD + "holding,a,-1,pieces,,,",
        HEAD + "holding,a,1,miles,,,",
        HEAD + "holding,a\n",
        HEAD + "holding,a,1,pieces,,,\nholding,a,2,pieces,,,\n",
        HEAD + "promise,a,1,pieces,model,,\n",
        HEAD + "holding,a,1,pieces,,,\npromise,a,2,pieces,model,,\n",
        HEAD + "price,a,1,pieces,,x,EUR\n",
        HEAD + "price,a,1,pieces,,1.00,EURO\n",
        HEAD + "other,a,1,pieces,,,\n",
        HEAD + 'holding,"a,1,pieces,,,\n',
    ],
)
def test_a_text_that_is_no_drawer_changes_nothing(drawer, text):
    with pytest.raises(DrawerRefusalError):
        bring_back(drawer, text=text)
    assert drawer.holdings() == ()
    assert drawer.faults() == ()


def test_other_files_are_refused_and_left_alone(tmp_path):
    noise, other = tmp_path / "noise.sqlite", tmp_path / "other.sqlite"
    noise.write_bytes(b"not a database at all" * 100)
    base = sqlite3.connect(other)
    base.execute("CREATE TABLE song (title)")
    base.commit()
    base.close()
    for path in (noise, other):
        before = path.read_bytes()
        with pytest.raises(StorageError, match="drawer"):
            Drawer(path)
        assert path.read_bytes() == before
    with pytest.raises(StorageError, match="there is no drawer"):
        Drawer(tmp_path / "none.sqlite", make=False)


def test_a_newer_layout_is_refused(drawer):
    drawer.close()
    base = sqlite3.connect(drawer.path)
    base.execute("PRAGMA user_version = 99")
    base.close()
    with pytest.raises(StorageError, match="layout 99"):
        Drawer(drawer.path)


def test_the_file_itself_refuses_to_promise_too_much(drawer):
    drawer.add(LED, amount=5, unit="pieces")
    drawer.promise("first", wants={LED: (5, "pieces")})
    base = sqlite3.connect(drawer.path)
    for statement in (
        "INSERT INTO promise VALUES ('thief', 'white 0603', 1)",
        "UPDATE promise SET milli = 9000",
        "UPDATE holding SET milli = 1",
        "DELETE FROM move",
        "UPDATE move SET milli = 0",
    ):
        with pytest.raises(sqlite3.IntegrityError):
            base.execute(statement)
    base.close()


def _forked(work):
    child = os.fork()
    if child == 0:
        code = 1
        try:
            work()
            code = 0
        finally:
            os._exit(code)
    return child


def test_projects_that_reserve_at_once_never_share_a_part(tmp_path):
    path = tmp_path / "drawer.sqlite"
    with Drawer(path) as opened:
        opened.add(LED, amount=5, unit="pieces")
        opened.add("green 3 mm", amount=100, unit="pieces")

    def ask(project):
        def work():
            with Drawer(path) as opened:
                for _ in range(15):
                    opened.promise(
                        project, wants={LED: (3, "pieces"), "green 3 mm": (10, "pieces")}
                    )
                    opened.take("green 3 mm", amount=1, project=project)

        return work

    children = [_forked(ask(f"model {number}")) for number in range(4)]
    assert [os.waitpid(child, 0)[1] for child in children] == [0] * 4
    with Drawer(path) as opened:
        held = opened.holding(LED)
        assert held.amount == 5.0
        assert sum(amount for _, amount in held.promises) == 5.0
        assert opened.holding("green 3 mm").amount == 40.0
        assert opened.faults() == ()
    assert sound(path)


def test_a_drawer_made_by_several_at_once_is_one_drawer(tmp_path):
    path = tmp_path / "drawer.sqlite"

    def work():
        with Drawer(path) as opened:
            opened.add(LED, amount=1, unit="pieces")

    children = [_forked(work) for _ in range(6)]
    assert [os.waitpid(child, 0)[1] for child in children] == [0] * 6
    with Drawer(path) as opened:
        assert opened.holding(LED).amount == 6.0
    assert sound(path)


def test_killed_at_any_moment_it_stays_sound_and_keeps_what_it_told(tmp_path):
    path, told = tmp_path / "drawer.sqlite", tmp_path / "told"
    with Drawer(path) as opened:
        opened.add(LED, amount=1000, unit="pieces")

    def write_forever():
        with Drawer(path) as opened, told.open("ab", buffering=0) as out:
            while True:
                opened.promise("model", wants={LED: (7, "pieces")})
                opened.add(LED, amount=2, unit="pieces")
                opened.take(LED, amount=1, project="model")
                out.write(b"x")

    def after_each():
        assert sound(path)

    kill_often(write_forever, times=40, after_each=after_each, longest_s=0.3, seed=9)
    rounds = told.stat().st_size
    assert rounds > 0
    with Drawer(path) as opened:
        assert opened.holding(LED).amount >= 1000 + rounds
        assert opened.faults() == ()


PROJECTS, PARTS = st.sampled_from(["a", "b", "c"]), st.sampled_from(["p", "q"])


class Shelf(RuleBasedStateMachine):
    """The drawer against a dictionary of the test's own."""

    def __init__(self):
        super().__init__()
        self.drawer = Drawer(_nowhere())
        self.held, self.kept = {}, {}

    @rule(part=PARTS, amount=st.integers(1, 9))
    def add(self, part, amount):
        self.drawer.add(part, amount=amount, unit="pieces")
        self.held[part] = self.held.get(part, 0) + amount

    @rule(project=PROJECTS, part=PARTS, amount=st.integers(1, 12))
    def promise(self, project, part, amount):
        given = self.drawer.promise(project, wants={part: (amount, "pieces")})
        self.kept = {key: value for key, value in self.kept.items() if key[0] != project}
        others = sum(value for (_, name), value in self.kept.items() if name == part)
        free = min(amount, self.held.get(part, 0) - others)
        assert given == ({part: free} if free > 0 else {})
        if free > 0:
            self.kept[project, part] = free

    @rule(project=PROJECTS, part=PARTS, amount=st.integers(1, 12))
    def take(self, project, part, amount):
        others = sum(
            value for (owner, name), value in self.kept.items() if name == part and owner != project
        )
        if amount > self.held.get(part, 0) - others:
            with pytest.raises(DrawerRefusalError):
                self.drawer.take(part, amount=amount, project=project)
            return
        self.drawer.take(part, amount=amount, project=project)
        self.held[part] -= amount
        own = max(0, self.kept.pop((project, part), 0) - amount)
        if own:
            self.kept[project, part] = own

    @rule(project=PROJECTS)
    def release(self, project):
        self.drawer.release(project)
        self.kept = {key: value for key, value in self.kept.items() if key[0] != project}

    @invariant()
    def it_says_what_the_dictionary_says(self):
        found = {one.part: one for one in self.drawer.holdings()}
        assert {name: one.amount for name, one in found.items()} == self.held
        kept = {(owner, name): v for name, one in found.items() for owner, v in one.promises}
        assert kept == self.kept

    def teardown(self):
        assert self.drawer.faults() == ()
        self.drawer.close()
        self.drawer.path.unlink()


TestShelf = Shelf.TestCase
TestShelf.settings = settings(deadline=None, max_examples=25, stateful_step_count=20)


def _nowhere():
    import tempfile
    from pathlib import Path

    descriptor, name = tempfile.mkstemp(suffix=".sqlite")
    os.close(descriptor)
    return Path(name)


@pytest.mark.parametrize(
    ("platform", "environment", "expected"),
    [
        ("linux", {"HOME": "/h"}, "/h/.local/share/lamphouse/drawer.sqlite"),
        ("linux", {"HOME": "/h", "XDG_DATA_HOME": "/d"}, "/d/lamphouse/drawer.sqlite"),
        ("darwin", {"HOME": "/h"}, "/h/Library/Application Support/lamphouse/drawer.sqlite"),
        ("linux", {"HOME": "/h", "LAMPHOUSE_DRAWER": "/x/d"}, "/x/d"),
    ],
)
def test_where_it_is_kept(platform, environment, expected):
    # XDG Base Directory Specification for Linux; the others common practice, no source.
    assert drawer_file(environment=environment, platform=platform).as_posix() == expected
