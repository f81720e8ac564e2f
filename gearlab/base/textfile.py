"""Tables that other programs saved, in whichever encoding, as text.

Whoever reads one gives its name and what it is to :func:`blamed`, so that whatever is
wrong in it is said in one sentence with the file.
"""

import codecs
import os
from contextlib import contextmanager
from pathlib import Path

from .checks import shortened
from .filewriter import reason

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_PACKED = b"PK\x03\x04"


@contextmanager
def blamed(path, what):
    """Whatever is wrong in a file is said of that file, as a ValueError."""
    try:
        yield
    except (ValueError, OSError) as error:
        said = (
            str(error)
            if isinstance(error, ValueError)
            else f"{reason(error)}; give the path of a CSV file"
        )
        raise ValueError(
            f"the {what} {shortened(str(path), 200)} cannot be used: {said}"
        ) from error


def file_text(path, largest, way_out):
    """The text of a CSV file in UTF-8, UTF-16 or Windows-1252.

    Parameters
    ----------
    path : the file
    largest : how many bytes it may have
    way_out : what to do if it has more, for the sentence

    Raises
    ------
    ValueError, OSError
        It cannot be read, has too many bytes, or is no text.
    """
    if not isinstance(path, (str, os.PathLike)):
        raise ValueError("it is no path; give the path of a CSV file")
    path = Path(path)
    if path.exists() and not path.is_file():
        raise ValueError("it is no plain file; give a CSV file")
    size = path.stat().st_size
    if size > largest:
        raise ValueError(
            f"it has {size:,} bytes, more than {largest:,} bytes; {way_out}"
        )
    data = path.read_bytes()
    if data.startswith(_PACKED):
        raise ValueError("it is a workbook; save it as CSV, and give that file")
    try:
        return _decoded(data)
    except UnicodeDecodeError:
        raise ValueError(
            "its letters cannot be read; save it as CSV in UTF-8"
        ) from None


def _decoded(data):
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), None)
    first = data[:2000]
    if encoding is None and first.count(0) * 4 > len(first):
        # Of UTF-16 without a mark nearly every other byte is 0.
        encoding = "utf-16-be" if data[0] == 0 else "utf-16-le"
    if encoding is None:
        try:
            return _printed(data.decode("utf-8"))
        except UnicodeDecodeError:
            encoding = "cp1252"
    return _printed(data.decode(encoding))


def _printed(text):
    if "\0" in text:
        raise ValueError("it is no text; save it as CSV in UTF-8")
    return text
