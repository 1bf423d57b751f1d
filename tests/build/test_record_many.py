"""Many writers of one record, and writers killed in the middle: nothing is lost and the file is always whole."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from kit.build.record import Entry, Record

WRITERS = 8
WRITES = 40

# Every writer has an input of its own and one that all of them write; it tells what it was told.
WRITER = '''
import json, sys
from kit.build.record import Change, Entry, Record

record, me, writes = Record(sys.argv[1], patience=60), sys.argv[2], int(sys.argv[3])
for turn in range(writes):
    entries = record.load().entries
    wanted = {f"stage.own.input_{me}": Entry(f"{turn} mm"), "stage.common.input": Entry(f"{me}-{turn}")}
    saved = record.save([Change(path, entry, entries.get(path)) for path, entry in wanted.items()], who=me)
    conflicts = [[conflict.path, conflict.wanted.value] for conflict in saved.conflicts]
    print(json.dumps([saved.revision, {path: wanted[path].value for path in saved.applied}, conflicts]))
'''

# Writes two inputs in one save, always the same number to both, until it is killed.
DRIVER = '''
import os, random, signal, sys, time
from kit.build.record import Change, Entry, Record, RecordError

def write(file):
    record = Record(file, patience=60)
    while True:
        entries = record.load().entries
        number = int(entries["stage.one.input"].value) + 1
        record.save([Change(f"stage.{name}.input", Entry(str(number)), entries[f"stage.{name}.input"])
                     for name in ("one", "two")], who=str(number))

file, kills = sys.argv[1], int(sys.argv[2])
draw = random.Random(5)
for turn in range(kills):
    child = os.fork()
    if not child:
        write(file)
    before, until = Record(file).load().revision, time.monotonic() + 20
    while Record(file).load().revision == before and time.monotonic() < until:
        time.sleep(0.001)
    time.sleep(draw.uniform(0, 0.04))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    entries = Record(file).load().entries
    print(entries["stage.one.input"].value, entries["stage.two.input"].value, flush=True)
'''


def _record(folder: Path) -> Record:
    file = folder / "many.toml"
    file.write_text(
        "schema = 1\n[build]\nname = 'Many' # of all\nrevision = 1\n"
        "[stage.one]\ninput = '0'\n[stage.two]\ninput = '0'\n"
        "# end of record\n"
    )
    return Record(file)


def _run(code: str, *arguments: object) -> subprocess.Popen[str]:
    return subprocess.Popen([sys.executable, "-c", code, *map(str, arguments)], stdout=subprocess.PIPE, text=True)


def test_many_processes_writing_at_once_lose_nothing(tmp_path: Path) -> None:
    """Each of 320 saves is in the file or came back as a conflict, and the history has every one in order."""
    record = _record(tmp_path)
    writers = [_run(WRITER, record.file, me, WRITES) for me in range(WRITERS)]
    told = [[json.loads(line) for line in writer.communicate(timeout=120)[0].splitlines()] for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * WRITERS
    saves = [save for writer in told for save in writer]
    history = record.history("stage")
    content = record.load()

    assert [len(writer) for writer in told] == [WRITES] * WRITERS
    assert sorted(revision for revision, _, _ in saves) == list(range(2, 2 + WRITERS * WRITES))
    assert content.revision == 1 + WRITERS * WRITES
    for me in range(WRITERS):
        assert content.entries[f"stage.own.input_{me}"] == Entry(f"{WRITES - 1} mm")
    applied = Counter((path, value) for _, made, _ in saves for path, value in made.items())
    refused = Counter((path, value) for _, _, conflicts in saves for path, value in conflicts)
    assert applied.total() + refused.total() == 2 * WRITERS * WRITES
    logged = [(line.applied, (line.path, line.new.value)) for line in history if isinstance(line.new, Entry)]
    assert Counter(what for made, what in logged if made) == applied
    assert Counter(what for made, what in logged if not made) == refused
    assert {path for path, _ in refused} <= {"stage.common.input"}
    shared = [line for line in history if line.path == "stage.common.input" and line.applied]
    assert [line.old for line in shared[1:]] == [line.new for line in shared[:-1]]
    assert content.entries["stage.common.input"] == shared[-1].new
    assert "# of all" in record.file.read_text()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_a_writer_killed_at_any_moment_leaves_a_whole_record(tmp_path: Path) -> None:
    """After each of 60 kills both inputs of a save are old or both are new, and the history misses no revision."""
    record = _record(tmp_path)
    output, _ = (driver := _run(DRIVER, record.file, 60)).communicate(timeout=240)
    pairs = [line.split() for line in output.splitlines()]
    last = int(pairs[-1][0])

    assert driver.returncode == 0 and len(pairs) == 60
    assert all(one == two for one, two in pairs)
    assert [int(one) for one, _ in pairs] == sorted(int(one) for one, _ in pairs)
    assert last >= 60
    record.set_state(["stage.part"], "cut")
    numbers = [line.new.value for line in record.history("stage.one.input") if isinstance(line.new, Entry)]
    assert numbers == [str(number) for number in range(1, last + 1)]
    assert {line.what for line in record.history()} <= {"entry", "state"}
    left = {path.name for path in tmp_path.iterdir()}
    assert left - {"many.toml.lock"} == {"many.toml", "many.changes.jsonl"}
