"""Every writer of the library: the new file whole, or the old one as it was."""

import errno
import os
import shutil
import stat
import subprocess
from pathlib import Path
from time import time

import pytest
from answering import paper_of, sheet_file

import gearlab as gl
from gearlab.base import filewriter
from gearlab.base.filewriter import replace_file, sweep, write_file
from gearlab.draw import save
from gearlab.draw.kit.scene import Scene
from gearlab.draw.kit.shapes import Circle
from gearlab.lab.mark.marking import mark_folder, write_marks, write_ticks
from gearlab.lab.sheet.handin import one_file
from gearlab.lab.sheet.sheet import record
from gearlab.train.trainfile import save_train

DOT = Circle(x=24, y=24, r=20, role="case")
SCENE = Scene(width=48, height=48, alt="a dot", shapes=(DOT,))
TRAIN = gl.load_train("lone-set")


def picture(kind):
    return lambda folder: save(SCENE, folder / f"dot.{kind}")


def longer_list(folder):
    """A list that was filled in gets the names of a train."""
    return gl.word_list(folder / "words.csv", TRAIN)


def marks(folder):
    return write_marks(mark_folder(folder), folder / "marks.csv")


def ticks(folder):
    return write_ticks(mark_folder(folder), folder / "ticks.csv")


def answered(folder):
    record(paper_of("ana"), "ratio", str(len(list(folder.iterdir()))), folder=folder)


# What is there before, by its name, and what then writes it.
OLD_LIST = "English word,other language,meaning\nsun,Sonne,x\n"
WRITERS = {
    "dot.svg": ("<svg/>", picture("svg")),
    "dot.png": ("old", picture("png")),
    "dot.pdf": ("old", picture("pdf")),
    "words.csv": (OLD_LIST, longer_list),
    "lone.toml": ("old", lambda folder: save_train(TRAIN, folder / "lone.toml")),
    "marks.csv": ("students,lab,form,first try\n", marks),
    "ticks.csv": (None, ticks),
    "hand-in": (None, lambda folder: one_file(("ana",), folder=folder)),
    "sheet": (None, answered),
}


def refusing(number):
    def refuse(*args, **options):
        raise OSError(number, os.strerror(number))

    return refuse


def full_while_writing(monkeypatch):
    """Half of what is written finds room."""
    real = Path.open

    def opened(self, mode="r", *args, **options):
        file = real(self, mode, *args, **options)
        if self.suffix != ".part":
            return file
        return HalfWritten(file)

    monkeypatch.setattr(Path, "open", opened)


class HalfWritten:
    """A file on a disk that becomes full."""

    def __init__(self, file):
        self._file = file

    def __enter__(self):
        return self

    def __exit__(self, *what):
        self._file.close()

    def write(self, data):
        self._file.write(data[: len(data) // 2])
        self._file.flush()
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def full_at_fsync(monkeypatch):
    monkeypatch.setattr(os, "fsync", refusing(errno.ENOSPC))


def full_at_replace(monkeypatch):
    monkeypatch.setattr(Path, "replace", refusing(errno.ENOSPC))


def prepared(folder, name):
    """A folder with a sheet and the old file; returns what is in it."""
    sheet_file(folder, "ana", answers=[("ratio", "1"), ("why", "Because.")])
    text, write = WRITERS[name]
    if text is None:
        write(folder)
    else:
        (folder / name).write_text(text, encoding="utf-8")
    return write


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize("full", [full_while_writing, full_at_fsync, full_at_replace])
@pytest.mark.parametrize("name", WRITERS)
def test_a_full_disk_leaves_the_old_file_and_says_one_sentence(
    name, full, tmp_path, monkeypatch
):
    write = prepared(tmp_path, name)
    sheet_file(tmp_path, "bob", answers=[("why", "So.")])
    before = contents(tmp_path)
    with monkeypatch.context() as patch:
        full(patch)
        with pytest.raises(ValueError, match="No space left") as error:
            write(tmp_path)
    assert "\n" not in str(error.value)
    assert contents(tmp_path) == before
    write(tmp_path)
    assert set(contents(tmp_path)) == set(before)


@pytest.mark.parametrize("name", WRITERS)
def test_a_small_disk_that_is_really_full(name, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    size = ["-t", "tmpfs", "-o", "size=64k", "tmpfs"]
    if not mount or subprocess.run([mount, *size, disk], check=False).returncode:
        pytest.skip("no small disk can be mounted here")
    try:
        write = prepared(disk, name)
        sheet_file(disk, "bob", answers=[("why", "So.")])
        with (disk / "filler").open("wb", buffering=0) as filler:
            while True:
                try:
                    filler.write(b"x" * 1024)
                except OSError:
                    break
        before = contents(disk)
        with pytest.raises(ValueError, match="No space left"):
            write(disk)
        assert contents(disk) == before
    finally:
        subprocess.run([shutil.which("umount"), disk], check=True)


# The writer ---------------------------------------------------------------------------


@pytest.mark.parametrize("data", ["ω₁\r\nand\n", b"\0\xff\r\n"])
def test_text_and_bytes_are_written_as_they_are(data, tmp_path):
    path = write_file(tmp_path / "x", data)
    there = data.encode("utf-8") if isinstance(data, str) else data
    assert path.read_bytes() == there
    assert list(tmp_path.iterdir()) == [path]


def test_a_name_as_long_as_can_be(tmp_path):
    path = tmp_path / ("é" * 127)
    assert write_file(path, "x").read_bytes() == b"x"


def test_who_may_read_a_file_stays(tmp_path):
    path = tmp_path / "x"
    path.write_bytes(b"old")
    path.chmod(0o640)
    write_file(path, "new")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_file_that_may_only_be_read_is_left(tmp_path, monkeypatch):
    path = tmp_path / "x"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(ValueError, match="may only be read"):
        write_file(path, "new")
    assert contents(tmp_path) == {"x": b"old"}


def test_a_link_leads_to_the_file_that_is_written(tmp_path):
    path, link = tmp_path / "x", tmp_path / "link"
    path.write_bytes(b"old")
    link.symlink_to(path)
    write_file(link, "new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"


@pytest.mark.parametrize("kind", ["folder", "pipe"])
def test_what_is_no_file_is_not_replaced(kind, tmp_path):
    path = tmp_path / "x"
    path.mkdir() if kind == "folder" else os.mkfifo(path)
    with pytest.raises(ValueError, match="no plain file"):
        write_file(path, "new", "picture")
    with pytest.raises(ValueError, match="no plain file"):
        write_file("", "new")
    assert list(tmp_path.iterdir()) == [path]
    assert not path.is_file()


def test_a_folder_that_is_not_there_or_takes_nothing(tmp_path):
    with pytest.raises(ValueError, match=r"the picture is .*make it first"):
        write_file(tmp_path / "none" / "x", "new", "picture")
    with pytest.raises(OSError, match="full"):
        replace_file(tmp_path / "x", "new", _full)
    assert not list(tmp_path.iterdir())


def _full():
    raise OSError(errno.ENOSPC, "full")


# What a kill leaves -------------------------------------------------------------------


def left_behind(folder, name, old):
    path = folder / name
    path.write_bytes(b"half")
    then = time() - old
    os.utime(path, (then, then))
    return path


def killed_while_writing(folder, monkeypatch):
    """The draft of a process that was killed."""
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", lambda *a, **k: None)
        patch.setattr(os, "fsync", refusing(errno.EIO))
        with pytest.raises(ValueError):
            write_file(folder / "x.json", "half")
    (draft,) = folder.iterdir()
    return draft


def test_old_drafts_are_swept_and_nothing_else(tmp_path, monkeypatch):
    draft = killed_while_writing(tmp_path, monkeypatch)
    sweep(tmp_path)
    assert draft.exists()
    old = time() - filewriter.STALE - 60
    os.utime(draft, (old, old))
    hex_, stale = "0" * 32, filewriter.STALE + 60
    others = [
        left_behind(tmp_path, name, stale)
        for name in (
            "x.json", "x.part", f"x.json.{hex_}.part", ".x.part",
            f".x.{hex_[1:]}.part", f".x.{'g' * 32}.part", f".x.{hex_}.part.txt",
        )
    ]  # fmt: skip
    live = left_behind(tmp_path, f".y.{hex_}.part", filewriter.STALE - 60)
    folder = tmp_path / f".z.{hex_}.part"
    folder.mkdir()
    os.utime(folder, (old, old))
    link = tmp_path / f".l.{hex_}.part"
    link.symlink_to(others[0])
    sweep(tmp_path)
    assert set(tmp_path.iterdir()) == {*others, live, folder, link}
    sweep(tmp_path / "none")
    sweep(others[0])
