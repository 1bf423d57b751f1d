"""Hammer one record: many writers, writers killed, two notebooks, a hand in the file, no room left; count what is lost.

    python tests/hammer.py            # a few minutes
    python tests/hammer.py 100        # eight times a hundred saves

Prints what was done and what was lost, which must be nothing.  The exit status is 1 when anything is.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from kit.build.record import Entry, Record  # noqa: E402
from tests.build.test_record_many import DRIVER, WRITER, WRITERS, _record, _run  # noqa: E402

__all__ = ["Count", "main"]

# A notebook's own way of writing: a page, a box of its form, the button of its record box; one entry of its own each.
NOTEBOOK = """
from kit.notebook import open_stage
page = open_stage("brief", {file!r})
box = page.record()
for turn in range({writes}):
    page.act(lambda: page.build.enter({path!r}, f"{{400 + turn}} {unit}"))
    box.note.value = "turn %d" % turn
    box.write.click()
    assert not page.trouble, page.trouble
print(page.build.content.entries[{path!r}].value)
"""
CRAMPED = """
import resource, signal, sys
from kit.build.record import Change, Entry, Record, RecordError

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
record, made, refused = Record(sys.argv[1]), 0, 0
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]),) * 2)
for turn in range(int(sys.argv[3])):
    entries = record.load().entries
    path = f"stage.roomy.input_{turn}"
    try:
        record.save([Change(path, Entry("x" * 60), entries.get(path))])
        made += 1
    except RecordError:
        refused += 1
print(made, refused)
"""


class Count(NamedTuple):
    """What was done, how often, how long it took, and what was lost."""

    what: str
    times: int
    seconds: float
    lost: int


def many_writers(folder: Path, writes: int) -> Count:
    """Eight processes write at once; each save must be in the history or have come back as a conflict."""
    record = _record(folder)
    start = perf_counter()
    writers = [_run(WRITER, record.file, me, writes) for me in range(WRITERS)]
    told = [json.loads(line) for writer in writers for line in writer.communicate()[0].splitlines()]
    seconds = perf_counter() - start
    wanted = Counter((p, v) for _, made, _ in told for p, v in made.items())
    wanted += Counter((p, v) for _, _, conflicts in told for p, v in conflicts)
    logged = Counter((line.path, line.new.value) for line in record.history("stage") if isinstance(line.new, Entry))
    last = sum(record.load().entries[f"stage.own.input_{me}"].value != f"{writes - 1} mm" for me in range(WRITERS))
    missing = 2 * WRITERS * writes - len(told) * 2 + (wanted - logged).total() + last
    return Count(f"{WRITERS} processes, {writes} saves each", len(told), seconds, missing)


def killed(folder: Path, kills: int) -> Count:
    """A writer is killed at random moments; both halves of a save must be there, and every revision in the history."""
    record = _record(folder)
    start = perf_counter()
    pairs = [line.split() for line in _run(DRIVER, record.file, kills).communicate()[0].splitlines()]
    seconds = perf_counter() - start
    record.set_state(["stage.part"], "cut")
    numbers = [line.new.value for line in record.history("stage.one.input") if isinstance(line.new, Entry)]
    torn = sum(one != two for one, two in pairs)
    gaps = len(set(map(str, range(1, int(pairs[-1][0]) + 1))) - set(numbers))
    return Count(f"{kills} writers killed in a save", len(pairs), seconds, torn + gaps + (kills - len(pairs)))


def notebooks(folder: Path, writes: int) -> Count:
    """Two notebooks and a hand write one build; each notebook's last entry and every comment by hand must be there."""
    file = folder / "tarn_locker.toml"
    file.write_bytes((ROOT / "shared" / "builds" / "tarn_locker.toml").read_bytes())
    entries = {"brief.first.mass": "kg", "brief.first.float_volume": "L"}
    start = perf_counter()
    running = [
        subprocess.Popen(
            [sys.executable, "-c", NOTEBOOK.format(file=str(file), writes=writes, path=path, unit=unit)],
            stdout=subprocess.PIPE, text=True, cwd=folder,
            env={**os.environ, "PYTHONPATH": str(ROOT), "RECKONER_BUILDS": str(folder)},
        )
        for path, unit in entries.items()
    ]  # fmt: skip
    by_hand = 0
    while any(one.poll() is None for one in running):
        by_hand += _comment(file, by_hand)
    seconds = perf_counter() - start
    said = [one.communicate()[0].strip() for one in running]
    content, text = Record(file).load(), file.read_text(encoding="utf-8")
    lost = sum(content.entries[path].value != f"{399 + writes} {unit}" for path, unit in entries.items())
    lost += sum(f"# by hand {number}\n" not in text for number in range(by_hand))
    lost += sum(not word for word in said)
    history = Counter(line.path for line in Record(file).history() if line.applied)
    lost += sum(writes - history[path] for path in entries)
    what = f"2 notebooks, {writes} changes each, {by_hand} comments by hand"
    return Count(what, 2 * writes + by_hand, seconds, lost)


def _comment(file: Path, number: int) -> int:
    """Add a comment by hand, when no save is under way."""
    import time

    from kit.build.files import locked

    time.sleep(0.2)
    # Without the lock an editor and the kit could both read, and one would put back what the other had not seen.
    with locked(file, 10):
        text = file.read_text(encoding="utf-8")
        spare = file.with_suffix(".hand")
        spare.write_text(text.replace("[brief]\n", f"# by hand {number}\n[brief]\n", 1), encoding="utf-8")
        os.replace(spare, file)
    return 1


def cramped(folder: Path, saves: int) -> Count:
    """No file may grow beyond some size, as on a full disk; what was said to be saved is there, and it still reads."""
    record = _record(folder)
    start = perf_counter()
    said = _run(CRAMPED, record.file, 4000, saves).communicate()[0].split()
    seconds = perf_counter() - start
    there = sum(path.startswith("stage.roomy.") for path in record.load().entries)
    made, refused = map(int, said)
    whole = record.file.read_text(encoding="utf-8").endswith("# end of record\n")
    return Count(f"{saves} saves with no room, {refused} refused", saves, seconds, abs(made - there) + (not whole))


def counts(writes: int) -> Iterator[Count]:
    """Each way of hammering, in a folder of its own."""
    for hammer, times in ((many_writers, writes), (killed, max(20, writes // 2)), (notebooks, max(20, writes // 4)),
                          (cramped, 100)):
        with tempfile.TemporaryDirectory() as folder:
            yield hammer(Path(folder), times)


def main(writes: int = 1000) -> int:
    """Hammer and print; 1 when anything was lost."""
    lost = 0
    print(f"{'what':<60} {'done':>6} {'seconds':>8} {'lost':>5}")
    for one in counts(writes):
        lost += one.lost
        print(f"{one.what:<60} {one.times:>6} {one.seconds:>8.1f} {one.lost:>5}", flush=True)
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
