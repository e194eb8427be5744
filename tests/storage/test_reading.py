"""Files read, and what is no file refused at once; what a pipe is, POSIX says."""

import os
import socket
import threading

import pytest

from lamphouse.storage.reading import NoPlainFile, read_file

unix = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")


def test_a_file_is_read_whole(tmp_path):
    (tmp_path / "a").write_bytes(b"\x00\r\n\x1a12")
    (tmp_path / "link").symlink_to(tmp_path / "a")
    assert read_file(tmp_path / "a", most_bytes=6) == b"\x00\r\n\x1a12"
    assert read_file(tmp_path / "link", most_bytes=100) == b"\x00\r\n\x1a12"


def test_of_a_larger_file_one_byte_more_is_read_than_may_be(tmp_path):
    (tmp_path / "a").write_bytes(bytes(1000))
    assert len(read_file(tmp_path / "a", most_bytes=10)) == 11


@unix
def test_a_pipe_is_refused_at_once_with_and_without_a_writer(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(NoPlainFile, match="pipe"):
        read_file(tmp_path / "pipe", most_bytes=10)
    writer = threading.Thread(target=lambda: (tmp_path / "pipe").open("wb").close())
    writer.start()
    with pytest.raises(NoPlainFile, match="pipe"):
        read_file(tmp_path / "pipe", most_bytes=10)
    (tmp_path / "pipe").open("rb").close()  # lets the writer go
    writer.join()


@unix
def test_devices_and_sockets_are_refused(tmp_path, monkeypatch):
    with pytest.raises(NoPlainFile):
        read_file("/dev/zero", most_bytes=10)
    monkeypatch.chdir(tmp_path)  # names of sockets are short
    with socket.socket(socket.AF_UNIX) as taken:
        taken.bind("taken")
        with pytest.raises(OSError, match="taken"):
            read_file("taken", most_bytes=10)


def test_a_folder_and_nothing_are_told_as_the_system_tells_them(tmp_path):
    with pytest.raises(OSError, match=r"irectory|ermission"):
        read_file(tmp_path, most_bytes=10)
    with pytest.raises(FileNotFoundError):
        read_file(tmp_path / "none", most_bytes=10)
