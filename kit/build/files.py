"""Reading and replacing a record's file whole, with one sentence for all that can go wrong."""

from __future__ import annotations

import contextlib
import glob
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from kit.build.entries import RecordError, RecordExists

__all__ = ["keep_copy", "locked", "make_new", "read_whole", "replace_whole", "said_of", "sweep", "write_beside"]

# No build fills more; a bigger file is something else.
LARGEST = 5_000_000


def said_of(error: OSError) -> str:
    """The cause of a failure of the system in its own words."""
    return (error.strerror or str(error) or type(error).__name__).lower()


def read_whole(file: Path) -> tuple[bytes, os.stat_result]:
    """The bytes of a file and what the system knew of it before they were read.  Raises RecordError."""
    try:
        about = file.stat()
        if stat.S_ISDIR(about.st_mode):
            raise RecordError(f"{file} is a folder; a record is a file, such as {file / 'my_build.toml'}")
        if not stat.S_ISREG(about.st_mode):
            raise RecordError(f"{file} is no ordinary file; a record is a text file")
        if about.st_size > LARGEST:
            raise RecordError(f"{file} has {about.st_size} bytes; no record is larger than {LARGEST}")
        return file.read_bytes(), about
    except (FileNotFoundError, NotADirectoryError):
        if file.parent.is_dir():
            raise RecordError(f"there is no record {file}; it may have been moved, renamed or deleted") from None
        raise RecordError(f"there is no folder {file.parent}, so there is no record {file.name} in it") from None
    except (OSError, ValueError) as error:
        cause = said_of(error) if isinstance(error, OSError) else str(error)
        raise RecordError(f"{file} cannot be read: {cause}") from None


@contextlib.contextmanager
def locked(file: Path, patience: float) -> Iterator[None]:
    """Hold the only right to write a record.  Raises RecordError when others keep it longer than `patience` seconds."""
    _refuse_read_only_folder(file)
    lock = FileLock(f"{file}.lock", timeout=patience, poll_interval=0.005)
    try:
        lock.acquire()
    except Timeout:
        raise RecordError(
            f"{file.name} was not written: another notebook or program has been writing it for {patience:g} s; "
            "try again, or close the other one"
        ) from None
    except (OSError, NotImplementedError) as error:
        cause = said_of(error) if isinstance(error, OSError) else str(error)
        raise RecordError(f"{file.name} was not written: it cannot be locked in {file.parent}: {cause}") from None
    try:
        yield
    finally:
        lock.release()


def _refuse_read_only_folder(file: Path) -> None:
    folder = file.parent
    try:
        mode = folder.stat().st_mode
    except OSError as error:
        raise RecordError(f"{file.name} was not written: {folder} cannot be used: {said_of(error)}") from None
    if not stat.S_ISDIR(mode):
        raise RecordError(f"{file.name} was not written: {folder} is a file, not a folder")
    if not mode & 0o222 or not os.access(folder, os.W_OK):
        raise RecordError(f"{file.name} was not written: the folder {folder} is read-only; copy the build elsewhere")


def replace_whole(file: Path, text: str) -> None:
    """Put a text in the place of a file: readers see all of the old or all of the new.  Raises RecordError."""
    try:
        mode = stat.S_IMODE(file.stat().st_mode)
        if not mode & 0o222:
            raise RecordError(f"{file.name} was not written: the file is read-only; allow writing, or copy the build")
        written = write_beside(file, text.encode("utf-8"), mode)
        try:
            _swap(written, file)
        except BaseException:
            written.unlink(missing_ok=True)
            raise
        _settle(file.parent)
    except OSError as error:
        raise RecordError(f"{file.name} was not written and is as it was: {said_of(error)}") from None


def write_beside(file: Path, content: bytes, mode: int) -> Path:
    """A temporary file beside another, written and on the disk; nothing is left of it on failure.  Raises OSError."""
    handle, name = tempfile.mkstemp(prefix=f".{file.name}.", suffix=".tmp", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as temporary:
            temporary.write(content)
            temporary.flush()
            os.fsync(temporary.fileno())
        os.chmod(name, mode)
    except BaseException:
        os.unlink(name)
        raise
    return Path(name)


def _swap(written: Path, file: Path) -> None:
    # Windows refuses while another process has the file open, which takes a few milliseconds.
    for pause in (0.02, 0.05, 0.1, 0.2):
        try:
            os.replace(written, file)
            return
        except PermissionError:
            if os.name != "nt":
                raise
            time.sleep(pause)
    os.replace(written, file)


def _settle(folder: Path) -> None:
    """See the change of names onto the disk, where the system can do that."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def make_new(file: Path, content: bytes) -> None:
    """Make a file that does not exist yet, whole or not at all.  Raises RecordExists or RecordError."""
    try:
        if not file.parent.exists():
            file.parent.mkdir(exist_ok=True)
        _refuse_read_only_folder(file)
        written = write_beside(file, content, 0o666 & ~_umask())
        try:
            _place(written, file, content)
        finally:
            written.unlink(missing_ok=True)
    except FileExistsError:
        raise RecordExists(f"{file} exists already and was left as it is; choose another name") from None
    except OSError as error:
        raise RecordError(f"{file} was not made: {said_of(error)}") from None


def _place(written: Path, file: Path, content: bytes) -> None:
    """Give a finished file its name, unless another file has it by now.  Raises FileExistsError or OSError."""
    try:
        # A link, unlike a replacement, refuses to take the place of a file.
        os.link(written, file)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems know no links.
        with file.open("xb") as made:
            made.write(content)


def keep_copy(file: Path, content: bytes, word: str) -> str:
    """Keep a file as it was as NAME.WORD.bak, unless that is there already; the copy's name.  Raises RecordError."""
    for number in range(1, 1000):
        copy = file.with_name(f"{file.stem}.{word}{f'-{number}' if number > 1 else ''}.bak")
        with contextlib.suppress(RecordExists):
            make_new(copy, content)
            return copy.name
        if read_whole(copy)[0] == content:
            return copy.name
    raise RecordError(f"{file.name} was not written: too many copies called {file.stem}.{word}-….bak lie beside it")


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def sweep(file: Path) -> None:
    """Clear away temporary files that a killed writer left; only for who holds the lock."""
    for left in file.parent.glob(f".{glob.escape(file.name)}.*.tmp"):
        with contextlib.suppress(OSError):
            left.unlink()
