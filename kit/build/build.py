"""One build: its record, its graph, and what is being tried before it is recorded.

    build = Build.open("tarn_locker")          # a demo, copied at the first change
    build.enter("lids.balance.force", "180 N")
    print(build.report().turned)               # what that would turn
    build.commit("stiffer strut")

Nothing is written until `commit`.  Entries that are tried are kept apart from
the record's own, so that the report can say what moved against the record.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from kit.build.changes import Report, compare
from kit.build.doubt import sample
from kit.build.give_or_take import read_give_or_take
from kit.build.graph import Graph, Outcome, Place
from kit.build.inputs import Values, assemble, cell_path, kind_of, split_cell, take_in
from kit.build.places import demo_file, free_name, open_file, remember
from kit.build.record import Alternative, Change, Content, Entry, Record, RecordExists, RowsChange, Saved, State
from kit.calculator import declared
from kit.checks import Check, Verdict, count_verdicts
from kit.handed import Part, Purchase, Task
from kit.kinds import Asks, Basis, Count, In, Rows, Unreadable
from kit.showing import CURRENCIES, Prefs, System
from kit.stages import STAGES
from kit.workshop import ReadError

__all__ = ["Build", "Worked", "graph_without"]


@lru_cache(maxsize=8)
def graph_without(off: frozenset[str]) -> Graph:
    """The graph of all stages but those a build does not have."""
    return Graph(STAGES, off)


@dataclass(frozen=True, slots=True)
class Worked:
    """A build worked out: what was read, the values by place, and what came of every node."""

    entries: Mapping[str, Entry]
    values: Values
    ready: Mapping[str, Any]
    outcomes: Mapping[str, Outcome]


class Build:
    """A build opened from its record; entries are tried here and written by `commit`."""

    def __init__(self, record: Record, *, copy_to: Path | None = None) -> None:
        self.record = record
        self.copy_to = copy_to
        self.content: Content = record.load()
        self._tried: dict[str, Entry | None] = {}
        self._rows: dict[str, tuple[str, ...]] = {}
        self._recorded: Worked | None = None
        self._now: Worked | None = None
        self._looks: dict[str, Outcome] = {}

    @classmethod
    def open(cls, name: str | Path | None = None) -> Build:
        """The build last opened, or a demo, or the record at a path.

        A demo is read where it lies and copied into the folder of builds at the
        first change.  Raises RecordError with one sentence when it cannot be read.
        """
        demo = demo_file(str(name)) if name is not None else None
        if demo is not None:
            return cls(Record(demo), copy_to=free_name(demo.name))
        file = open_file() if name is None else Path(name)
        shipped = demo_file(file.stem)
        is_demo = shipped is not None and file.resolve() == shipped.resolve()
        return cls(Record(file), copy_to=free_name(file.name) if is_demo else None)

    # -- reading --------------------------------------------------------------------------------

    @property
    def name(self) -> str:
        return self.content.name

    @property
    def graph(self) -> Graph:
        return graph_without(frozenset(self.content.stages_off))

    @property
    def prefs(self) -> Prefs:
        """Metric or inch and the currency, as the brief says."""

        def text(path: str, otherwise: str) -> str:
            entry = self._entry(path)
            return entry.value if entry is not None else otherwise

        system: System = "inch" if text("brief.units", "metric") == "inch" else "metric"
        currency = text("brief.currency", "GBP")
        return Prefs(system=system, currency=currency if currency in CURRENCIES else "GBP")

    def _entry(self, path: str) -> Entry | None:
        return self._tried[path] if path in self._tried else self.content.entries.get(path)

    @property
    def recorded(self) -> Worked:
        """The build as the record has it."""
        if self._recorded is None:
            self._recorded = self._work(self.content.entries, self.content.rows, None)
        return self._recorded

    @property
    def now(self) -> Worked:
        """The build with everything that is being tried."""
        if self._now is None:
            if not self._tried and not self._rows:
                self._now = self.recorded
            else:
                merged = {**self.content.entries, **self._tried}
                entries = {path: entry for path, entry in merged.items() if entry is not None}
                self._now = self._work(entries, {**self.content.rows, **self._rows}, self._last or self.recorded)
            self._last = self._now
        return self._now

    _last: Worked | None = None

    def _work(self, entries: Mapping[str, Entry], rows: Mapping[str, tuple[str, ...]], last: Worked | None) -> Worked:
        texts = {path: entry.value for path, entry in entries.items() if _in_rows(path, rows)}
        values = take_in(self.graph, texts, rows, self.prefs)
        ready = assemble(self.graph, values)
        return Worked(entries, values, ready, self.graph.evaluate(ready, last.outcomes if last else None))

    def follow(self) -> bool:
        """Read the record again if it changed on disk (another notebook, a hand edit); True when it did."""
        fresh = self.record.load()
        if fresh is self.content or fresh.checksum == self.content.checksum:
            return False
        self._last, self.content, self._recorded, self._now = self._now or self._last, fresh, None, None
        return True

    # -- asking ---------------------------------------------------------------------------------

    def value(self, path: str) -> Any:
        """The value in force at an entry, cell or result, or None when there is none yet."""
        if "[" in path:
            return self.now.values.cells.get(path)
        return self.graph.value_at(path, self.now.ready, self.now.outcomes)

    def shown(self, path: str) -> str:
        """The value at a path as a person reads it."""
        value = self.value(path)
        if isinstance(value, Unreadable):
            return value.text
        if value is None:
            place = self.graph.places.get(path)
            return "not entered" if place is not None and place.link is None else "not worked out"
        kind = kind_of(self.graph, path) or self.graph.kind_at(path)
        return str(kind.show(value, self.prefs)) if hasattr(kind, "show") else str(value)

    def checks(self, stage: str | None = None) -> list[tuple[str, Asks, Check]]:
        """Every check of the build, or of one stage: path, declaration, check."""
        every = self.graph.checks(self.now.ready, self.now.outcomes)
        return [one for one in every if stage is None or one[0].split(".")[0] == stage]

    def check(self, path: str) -> Check:
        """One check by its path.  Raises KeyError."""
        for found, _, check in self.checks(path.split(".")[0]):
            if found == path:
                return check
        raise KeyError(f"the build has no check at {path}")

    def count(self, stage: str | None = None) -> dict[Verdict, int]:
        """How many checks of each verdict."""
        return count_verdicts(check for _, _, check in self.checks(stage))

    def state_of(self, name: str) -> str:
        """Planned, bought, cut, fitted, weighed or done, of a part, purchase or task by "stage: name"."""
        state = self.content.states.get(name)
        return state.state if state is not None else "planned"

    def handed(self, wanted: type, stage: str | None = None) -> list[tuple[str, Any]]:
        """Parts, purchases, tasks or hazards that stages hand on: stage key, row."""
        return [one for one in self.graph.handed(self.now.outcomes, wanted) if stage is None or one[0] == stage]

    def rests_on(self, path: str) -> list[str]:
        """Numbers entered as estimates that a result or check rests on; words chosen are decisions, not estimates."""
        return [p for p in self._upstream(path) if p in self.now.entries and self.basis(p) == "estimate"]

    def _upstream(self, path: str) -> list[str]:
        node = self.graph.places[path].node if path in self.graph.places else path.rpartition(".")[0]
        found: dict[str, None] = {}
        for key in self.graph.upstream(node):
            for place in map(
                self.graph.places.__getitem__, {**self.graph.nodes, **self.graph.looks}[key].places.values()
            ):
                found.update(dict.fromkeys(self._entries_behind(place)))
        return list(found)

    def _entries_behind(self, place: Place) -> Iterable[str]:
        cells = self.now.values.cells
        if isinstance(place.kind, Rows):
            for cell in cells:
                if cell.startswith(f"{place.path}[") and isinstance(kind_of(self.graph, cell), In | Count):
                    yield cell
        elif isinstance(place.kind, In | Count) and (place.path in cells or place.link is None):
            if self.value(place.path) is not None:
                yield place.path
        elif place.link in self.graph.places and place.link is not None:
            yield from self._entries_behind(self.graph.places[place.link])

    def basis(self, path: str) -> Basis | None:
        """How an entry is known: as recorded, or as its declaration says when nothing is entered."""
        entry = self._entry(path)
        if entry is not None and entry.basis:
            return entry.basis
        kind = kind_of(self.graph, path)
        return None if kind is None else kind.basis

    def tried(self) -> Mapping[str, Entry | None]:
        """What is being tried and not recorded."""
        return dict(self._tried)

    @property
    def is_tried(self) -> bool:
        """True when something differs from the record."""
        return bool(self._tried or self._rows)

    def report(self) -> Report:
        """What moved and turned between the record and what is being tried."""
        before, after = self.recorded, self.now
        return compare(self.graph, (before.ready, before.outcomes), (after.ready, after.outcomes), self.prefs)

    # -- closer looks ---------------------------------------------------------------------------

    def ask(self, key: str) -> Outcome:
        """Work out a closer look such as "lids.search" on the build as it is now.  Raises KeyError."""
        if key not in self.graph.looks:
            there = ", ".join(self.graph.looks) or "none"
            raise KeyError(f"the build has no closer look {key}; it has {there}")
        if key not in self._looks or not self.is_current(key):
            self._looks[key] = self.graph.look(key, self.now.ready, self.now.outcomes)
        return self._looks[key]

    def is_current(self, key: str) -> bool:
        """True when a closer look was asked for and nothing it rests on has changed since."""
        last = self._looks.get(key)
        return last is not None and self.graph.still_holds(key, self.now.ready, self.now.outcomes, last)

    def looked_at(self, key: str) -> Outcome:
        """What came of a closer look when it was last asked for, out of date or not.  Raises KeyError."""
        return self._looks[key]

    def closer(self, key: str) -> Any:
        """The result of a closer look, or None when it was not asked for, has no result or is out of date."""
        last = self._looks.get(key)
        return last.result if last is not None and last.works and self.is_current(key) else None

    def doubt(self, count: int = 10_000, seed: int = 1) -> dict[str, Outcome]:
        """The build on samples of every doubtful entry."""
        return sample(self.graph, self.now.values, self.now.entries, count=count, seed=seed)

    def fault(self, path: str) -> str:
        """Why an entry cannot be used as it stands, in one sentence; "" when it can."""
        kind, entry, value = kind_of(self.graph, path), self._entry(path), self.now.values.cells.get(path)
        if isinstance(value, Unreadable):
            return value.why
        if value is not None and kind is not None and (why := kind.check(value)[1]):
            return why
        if entry is not None and entry.give_or_take and isinstance(kind, In):
            try:
                read_give_or_take(entry.give_or_take, kind)
            except ReadError as error:
                return f"give or take: {error}"
        return ""

    def clash(self, path: str) -> str:
        """What the calculator of an entry says against it together with the others, or ""."""
        cell = split_cell(path)
        place = self.graph.places.get(cell.path)
        known = self._looks if place is not None and place.node in self.graph.looks else self.now.outcomes
        outcome = known.get(place.node) if place is not None else None
        if place is None or outcome is None or outcome.fault is None:
            return ""
        return outcome.fault.faults.get(f"{place.name}: [{cell.row}].{cell.column}" if cell.column else place.name, "")

    # -- trying ---------------------------------------------------------------------------------

    def enter(self, path: str, text: str, **about: Any) -> None:
        """Try a value, as text; `about` may give basis, give_or_take, shared, source, note.

        Raises KeyError when the build has no such path.  Text that cannot be
        read is kept, so that the form can show it with its message, but is never written.
        """
        if kind_of(self.graph, path) is None:
            raise KeyError(f"the build has no entry at {path}")
        cell = split_cell(path)
        if cell.column and cell.row not in self.rows(cell.path):
            there = ", ".join(self.rows(cell.path)) or "none yet"
            raise KeyError(f"{cell.path} has no row '{cell.row}'; it has {there}")
        base = self._entry(path)
        entry = replace(base, value=text, **about) if base is not None else Entry(value=text, **about)
        self._try(path, entry)

    def leave_out(self, path: str) -> None:
        """Take an entry out: its link or default stands again."""
        self._try(path, None)

    def put_back(self, path: str | None = None) -> None:
        """Put an entry back to what the record has, or everything."""
        if path is None:
            self._tried.clear()
            self._rows.clear()
        else:
            self._tried.pop(path, None)
        self._now = None

    def _try(self, path: str, entry: Entry | None) -> None:
        if self.content.entries.get(path) == entry:
            self._tried.pop(path, None)
        else:
            self._tried[path] = entry
        self._now = None

    def rows(self, table: str) -> tuple[str, ...]:
        """Names of the rows a table has now."""
        return self._rows.get(table, self.content.rows.get(table, ()))

    def add_row(self, table: str, name: str, cells: Mapping[str, str] | None = None) -> None:
        """Try a new row; cells not given stay to be entered.  Raises KeyError or ValueError in one sentence."""
        place = self.graph.places.get(table)
        if place is None or not isinstance(place.kind, Rows):
            raise KeyError(f"the build has no table at {table}")
        kind = declared(place.kind.row).inputs["name"].kind
        name, why = kind.check(name.strip())
        if why is not None or set(name) & set("[]"):
            raise ValueError(why or f"'{name}' has a square bracket; write the name without")
        if name in self.rows(table):
            raise ValueError(f"there is a row called '{name}' already; every row needs a name of its own")
        self._rows[table] = (*self.rows(table), name)
        for column, text in (cells or {}).items():
            self._try(cell_path(table, name, column), Entry(value=text))
        self._now = None

    def remove_row(self, table: str, name: str) -> None:
        """Try the build without a row."""
        self._rows[table] = tuple(n for n in self.rows(table) if n != name)
        for path in [*self.content.entries, *self._tried]:
            cell = split_cell(path)
            if cell.path == table and cell.row == name:
                self._try(path, None)
        if self._rows[table] == self.content.rows.get(table, ()):
            del self._rows[table]
        self._now = None

    # -- alternatives and the way back ---------------------------------------------------------------

    @property
    def alternatives(self) -> Mapping[str, Alternative]:
        """Named ways the build might go instead, as the record keeps them."""
        return self.content.alternatives

    def keep_alternative(self, name: str, note: str = "", why: str = "", who: str = "") -> Saved:
        """Keep what is being tried as a named alternative beside the present, and put the present back.

        Raises ValueError when nothing is tried, or rows are, or an entry cannot be used.
        """
        if not self._tried:
            raise ValueError("nothing is being tried, so there is nothing to keep; change an entry first")
        if self._rows:
            raise ValueError("an alternative keeps changed entries, not rows added or removed; change cells instead")
        if gone := [path for path, entry in self._tried.items() if entry is None]:
            raise ValueError(f"an alternative keeps changed entries; {gone[0]} is taken out")
        if wrong := [f"{path}: {fault}" for path in self._tried if (fault := self.fault(path))]:
            raise ValueError(f"nothing was kept, because of {'; '.join(wrong)}")
        changes = {path: entry.value for path, entry in self._tried.items() if entry is not None}
        self._copy_demo()
        saved = self.record.set_alternative(name, Alternative(changes, note), why=why, who=who)
        self.content = self.record.load()
        self._recorded = None
        self.put_back()
        return saved

    def drop_alternative(self, name: str, why: str = "", who: str = "") -> Saved:
        """Take a named alternative out of the record.  Raises KeyError."""
        self._alternative(name)
        self._copy_demo()
        saved = self.record.set_alternative(name, None, why=why, who=who)
        self.content = self.record.load()
        self._recorded = None
        return saved

    def try_alternative(self, name: str) -> None:
        """Try everything a named alternative changes.  Raises KeyError."""
        for path, text in self._alternative(name).changes.items():
            self.enter(path, text)

    def beside(self, name: str) -> Build:
        """The build as the record has it with a named alternative tried, apart from this one.  Raises KeyError."""
        other = Build(self.record, copy_to=self.copy_to)
        other.content, other._recorded = self.content, self.recorded
        other.try_alternative(name)
        return other

    def _alternative(self, name: str) -> Alternative:
        if name not in self.alternatives:
            raise KeyError(f"there is no alternative '{name}'; there are {', '.join(self.alternatives) or 'none yet'}")
        return self.alternatives[name]

    def try_way_back(self, revision: int | None = None) -> list[str]:
        """Try what undoes one revision, the last that changed entries when none is named; returns the paths.

        Nothing is written until `commit`.  An entry that was changed again since
        is left as it is.  Raises ValueError when there is nothing to take back.
        """
        lines = [line for line in self.record.history() if line.applied and line.what in ("entry", "rows")]
        if revision is None:
            revision = max((line.revision for line in lines), default=0)
        wanted = [line for line in lines if line.revision == revision]
        if not wanted:
            raise ValueError(f"revision {revision} changed no entry that could be taken back")
        back = []
        for line in wanted:
            if line.what == "rows" and isinstance(line.old, tuple | None):
                self._rows[line.path] = line.old or ()
            elif self.content.entries.get(line.path) == line.new and not isinstance(line.old, str | tuple | State):
                self._try(line.path, line.old)
            else:
                continue
            back.append(line.path)
        self._now = None
        return back

    # -- recording ------------------------------------------------------------------------------

    def commit(self, why: str = "", who: str = "") -> Saved:
        """Write what is tried to the record; what cannot be read is refused beforehand.

        Raises ValueError naming the entries that cannot be used.  The result
        says what was written and which entries met a conflict.
        """
        wrong = [f"{path}: {fault}" for path in self._tried if (fault := self.fault(path))]
        if wrong:
            raise ValueError(f"nothing was written, because of {'; '.join(wrong)}")
        self._copy_demo()
        saved = self.record.save(self._as_changes(), why=why, who=who)
        self._last = self._now
        self.content = self.record.load()
        self._tried.clear()
        self._rows.clear()
        self._recorded = self._now = None
        return saved

    def keep_stages(self, keys: Iterable[str], why: str = "", who: str = "") -> Saved:
        """Switch off every stage that is not named; what the record has for it is kept for another day.

        Raises KeyError for a stage there is not.
        """
        wanted = set(keys)
        there = [stage.key for stage in STAGES]
        if strange := wanted.difference(there):
            raise KeyError(f"there is no stage called {min(strange)}; there are {', '.join(there)}")
        self._copy_demo()
        saved = self.record.set_meta(stages_off=[key for key in there if key not in wanted], why=why, who=who)
        self._last = self._now = self._recorded = None
        self.content = self.record.load()
        return saved

    def set_state(self, names: Iterable[str], state: str, why: str = "", who: str = "") -> Saved:
        """Say how far parts, purchases or tasks are: planned, bought, cut, fitted, weighed or done.

        Names are "stage: name" as the lists show them.  Raises KeyError for one the
        build does not hand on, RecordError for a state there is not.
        """
        wanted = tuple(names)
        there = {f"{stage}: {row.name}" for kind in (Part, Purchase, Task) for stage, row in self.handed(kind)}
        if strange := [name for name in wanted if name not in there]:
            raise KeyError(f"the build hands on nothing called '{strange[0]}'")
        self._copy_demo()
        saved = self.record.set_state(wanted, state, why=why, who=who)
        self.content = self.record.load()
        self._recorded = None
        return saved

    def _copy_demo(self) -> None:
        """At the first change a demo becomes the reader's own; another notebook may have taken the name meanwhile."""
        while (wanted := self.copy_to) is not None:
            try:
                self.record, self.copy_to = self.record.copy_to(wanted), None
                remember(self.record.file.stem)
            except RecordExists:
                self.copy_to = free_name(wanted.name)

    def _as_changes(self) -> list[Change | RowsChange]:
        was = self.content
        tables = [RowsChange(table, rows, was.rows.get(table)) for table, rows in self._rows.items()]
        return [*tables, *(Change(path, entry, was.entries.get(path)) for path, entry in self._tried.items())]

    def unknown(self) -> Iterable[str]:
        """Paths in the record that this build does not know: kept, reported, never used."""
        return self.now.values.unknown


def _in_rows(path: str, rows: Mapping[str, tuple[str, ...]]) -> bool:
    cell = split_cell(path)
    return not cell.column or cell.row in rows.get(cell.path, ())
