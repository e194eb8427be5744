"""The history of a file: every change can be taken back, and a kill loses nothing noted."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.storage.history import History, change_between, mark_of
from lamphouse.storage.refusal import StorageError

TEXTS = st.text(alphabet=st.characters(codec="utf-8"), max_size=60)


@given(old=TEXTS, new=TEXTS)
def test_a_change_and_its_inverse_are_exact(old, new):
    change = change_between(old, new, label="edit", at="")
    assert change.done(old) == new
    assert change.undone(new) == old


@given(st.lists(st.one_of(TEXTS, st.sampled_from(["<undo>", "<redo>"])), max_size=25))
def test_any_walk_through_changes_can_be_replayed_from_the_disk(tmp_path_factory, walk):
    path = tmp_path_factory.mktemp("walk") / "history"
    history, text, seen, ahead = History(path), "", [""], []
    for step in walk:
        if step == "<undo>":
            if change := history.undoable:
                history.step_back()
                ahead.append(text)
                text = change.undone(text)
                seen.pop()
                assert text == seen[-1]
        elif step == "<redo>":
            if change := history.redoable:
                history.step_forward()
                text = change.done(text)
                assert text == ahead.pop()
                seen.append(text)
        else:
            history.record(change_between(text, step, label="", at=""))
            text = step
            seen.append(text)
            ahead.clear()
        history = History(path)
        assert history.agree_with(text)
    assert len(history.changes) == len(seen) - 1


def test_a_line_cut_short_by_a_kill_is_no_step(tmp_path):
    path = tmp_path / "history"
    History(path).record(change_between("a", "b", label="first", at=""))
    whole = path.read_bytes()
    History(path).record(change_between("b", "c", label="second", at=""))
    for length in range(len(whole), len(path.read_bytes())):
        cut = tmp_path / "cut"
        cut.write_bytes(path.read_bytes()[:length])
        history = History(cut)
        assert history.undoable.label in ("first", "second")
        history.record(change_between("b", "d", label="third", at=""))
        assert History(cut).undoable.label == "third"


@pytest.mark.parametrize("killed_before_writing", ["do", "undo", "redo"])
def test_a_step_noted_but_not_taken_is_stepped_back_from(tmp_path, killed_before_writing):
    history = History(tmp_path / "history")
    history.record(change_between("a", "b", label="", at=""))
    text = "b"
    if killed_before_writing == "do":
        history.record(change_between("b", "c", label="", at=""))
    else:
        history.step_back()
        if killed_before_writing == "redo":
            text = "a"
            history.step_forward()
    again = History(tmp_path / "history")
    assert again.agree_with(text)
    behind = again.undoable
    assert (behind.after if behind else mark_of("a")) == mark_of(text)


def test_a_text_of_another_history_is_told_apart(tmp_path):
    history = History(tmp_path / "history")
    history.record(change_between("a", "b", label="", at=""))
    assert not history.agree_with("something else")
    with pytest.raises(ValueError, match="not the one"):
        history.undoable.undone("something else")


def test_the_file_only_grows(tmp_path):
    path = tmp_path / "history"
    history = History(path)
    before = b""
    for text in ("b", "c"):
        history.record(change_between("a", text, label="", at=""))
        history.step_back()
        assert path.read_bytes().startswith(before)
        before = path.read_bytes()
    assert all(json.loads(line) for line in path.read_text().splitlines())


@pytest.mark.parametrize(
    "damaged",
    [
        '{"do": {}}',
        '{"do": 7}',
        '{"do": {"label": 1}}',
        '{"undo": true, "do": null}',
        "[" * 100_000,
    ],
)
def test_what_somebody_damaged_does_not_keep_a_project_from_being_opened(tmp_path, damaged):
    path = tmp_path / "history"
    History(path).record(change_between("a", "b", label="first", at=""))
    with path.open("a") as stream:
        stream.write(damaged + "\n")
    history = History(path)
    history.record(change_between("b", "c", label="second", at=""))
    assert History(path).undoable.undone("c") == "b"


def test_a_folder_in_its_place_is_told(tmp_path):
    (tmp_path / "history").mkdir()
    with pytest.raises(StorageError, match="history"):
        History(tmp_path / "history")
