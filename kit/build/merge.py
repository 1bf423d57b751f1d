"""Changes taken into the plain dictionary of a record, one by one, against what the file has now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kit.build.content import read_state
from kit.build.entries import (
    ROW_SPEAKS,
    Alternative,
    Change,
    Conflict,
    Entry,
    Held,
    RecordError,
    RowsChange,
    State,
    faults_of,
    join_path,
    row_name_fault,
    split_path,
)
from kit.build.items import about_of, as_item, entry_of, is_entry, is_marker, with_row

__all__ = ["Done", "Merge", "check_changes"]


@dataclass(frozen=True, slots=True)
class Done:
    """One change that was made: what kind, where, from what, to what."""

    what: str
    path: str
    old: Held
    new: Held


def check_changes(changes: Iterable[Change | RowsChange]) -> None:
    """Raise RecordError with a sentence for each change that no record could take."""
    faults: list[str] = []
    seen: set[str] = set()
    for change in changes:
        path = change.path if isinstance(change, Change) else change.table
        if path in seen:
            faults.append(f"{path} is changed twice in one save; give one change for it")
        seen.add(path)
        faults += _faults(change)
    if faults:
        raise RecordError("; ".join(faults))


def _faults(change: Change | RowsChange) -> list[str]:
    try:
        if isinstance(change, Change):
            split_path(change.path)
            return [] if change.entry is None else faults_of(change.path, change.entry)
        if split_path(change.table).column:
            return [f"'{change.table}' is a cell; rows belong to a table, such as raft.afloat.floats"]
    except RecordError as error:
        return [str(error)]
    names = change.rows or ()
    faults = [f"{change.table}: {why}" for name in names if (why := row_name_fault(name)) is not None]
    twice = sorted({name for name in names if names.count(name) > 1})
    faults += [f"{change.table}: two rows are called '{name}'; every row needs a name of its own" for name in twice]
    lost = sorted(set(change.renamed.values()) - set(names))
    return faults + [f"{change.table}: '{name}' is a new name but not among the rows" for name in lost]


@dataclass(slots=True)
class Merge:
    """A record's dictionary while changes are taken in; `data` is changed in place."""

    data: dict[str, Any]
    done: list[Done] = field(default_factory=list)
    conflicts: list[Conflict] = field(default_factory=list)
    renamed: list[tuple[tuple[str, ...], Mapping[str, str]]] = field(default_factory=list)

    def take(self, changes: Sequence[Change | RowsChange]) -> None:
        """Take in all changes: rows renamed and added, then entries, then rows taken out and put in order."""
        of_rows = [change for change in changes if isinstance(change, RowsChange)]
        before = {change.table: self.rows(change.table) for change in of_rows}
        agreed = [change for change in of_rows if self._rename(change)]
        for change in agreed:
            self._add_rows(change)
        for entry_change in changes:
            if isinstance(entry_change, Change):
                self._enter(entry_change)
        for change in agreed:
            self._settle_rows(change)
            self._note_rows(change, before[change.table])

    # -- entries --------------------------------------------------------------------------------

    def entry(self, path: str) -> Entry | None:
        """The entry at a path as it stands, together with what its row says."""
        place = split_path(path)
        item = self._at(place.trail)
        if item is None or not is_entry(item):
            return None
        row = self._at(place.trail[:-1]) if place.column else {}
        return with_row(entry_of(item), about_of(row))

    def _enter(self, change: Change) -> None:
        trail = split_path(change.path).trail
        found = self.entry(change.path)
        row = self._at(trail[:-1]) if len(trail) > 3 and "[" in change.path else {}
        about = about_of(row) if isinstance(row, dict) else {}
        wanted = None if change.entry is None else with_row(change.entry, about)
        if found == wanted:
            return
        refused = self._why_not(trail, row) if wanted is not None else None
        seen = None if change.seen is None else with_row(change.seen, {})
        if found != seen or refused is not None:
            there = found if found != seen else refused
            self.conflicts.append(Conflict(change.path, change.entry, change.seen, there))
            return
        if change.entry is None:
            self._drop(trail)
            if not row and len(trail) == 4:
                # Without any key it could not be told from a table without rows.
                row["note"] = ""
        else:
            self._put(trail, as_item(change.entry, about, self._at(trail)))
        self.done.append(Done("entry", change.path, found, wanted))

    def _why_not(self, trail: Sequence[str], row: Any) -> str | None:
        """What stands in the way of writing an entry: no such row, or something of another kind at its place."""
        if row is None:
            return "no such row"
        group: Any = self.data
        for key in trail[:-1]:
            group = group.get(key, {})
            if not isinstance(group, dict) or is_entry(group):
                return f"an entry {key}"
        item = group.get(trail[-1])
        return None if item is None or is_entry(item) else f"a table {trail[-1]}"

    # -- rows -----------------------------------------------------------------------------------

    def rows(self, table: str) -> tuple[str, ...] | None:
        """The rows of a table as they stand, or None when the file says nothing about it."""
        group = self._at(split_path(table).names)
        if not isinstance(group, dict) or is_entry(group):
            return None
        names = tuple(name for name, inner in group.items() if isinstance(inner, dict) and not is_entry(inner))
        return names if names or is_marker(group) or (not group and table.count(".") == 2) else None

    def _rename(self, change: RowsChange) -> bool:
        """Give rows their new names; False, with a conflict noted, when the table cannot be changed so."""
        refused = self._why_not((*split_path(change.table).names, ""), {})
        if refused is not None:
            self.conflicts.append(Conflict(change.table, change.rows, change.seen, refused, what="rows"))
            return False
        rows = self.rows(change.table) or ()
        others = set(rows) - set(change.renamed)
        if not set(change.renamed) <= set(rows) or others & set(change.renamed.values()):
            there = self.rows(change.table)
            self.conflicts.append(Conflict(change.table, change.rows, change.seen, there, what="rows"))
            return False
        if change.renamed:
            names = split_path(change.table).names
            group = self._at(names)
            self._refill(group, {change.renamed.get(key, key): inner for key, inner in group.items()})
            self.renamed.append((names, change.renamed))
            self.done += [
                Done("row renamed", f"{change.table}[{old}]", old, new)
                for old, new in change.renamed.items() if old != new
            ]
        return True

    def _add_rows(self, change: RowsChange) -> None:
        names = split_path(change.table).names
        have = self.rows(change.table) or ()
        known = {change.renamed.get(name, name) for name in change.seen or ()}
        for name in change.rows or ():
            if name not in known and name not in have:
                self._put((*names, name), {})
        group = self._at(names)
        if isinstance(group, dict) and len(group) > 1 and isinstance(group.get("rows"), str):
            del group["rows"]

    def _settle_rows(self, change: RowsChange) -> None:
        """Take out rows that are to go and are empty now, and put the others in the order wanted."""
        names = split_path(change.table).names
        wanted = change.rows or ()
        seen = tuple(change.renamed.get(name, name) for name in change.seen or ())
        for name in [one for one in seen if one not in wanted and one in (self.rows(change.table) or ())]:
            self._remove_row(change.table, names, name)
        have = self.rows(change.table) or ()
        if have and change.rows is None:
            self.conflicts.append(Conflict(change.table, None, change.seen, have, what="rows"))
        elif have:
            self._sort(names, _merged_order(have, seen, wanted))
        elif change.rows is None:
            self._drop(names)
        else:
            self._put(names, {"rows": "none"})

    def _remove_row(self, table: str, names: Sequence[str], row: str) -> None:
        group = self._at((*names, row))
        cells = [column for column, item in group.items() if is_entry(item) and column not in ROW_SPEAKS]
        if not cells:
            self._drop((*names, row))
            return
        path = join_path(table, row, cells[0])
        unseen = not any(conflict.path.startswith(f"{table}[{row}].") for conflict in self.conflicts)
        if unseen:
            self.conflicts.append(Conflict(path, None, None, self.entry(path)))

    def _sort(self, names: Sequence[str], order: Sequence[str]) -> None:
        group = self._at(names)
        others = {key: inner for key, inner in group.items() if key not in order}
        rows = {name: group[name] or ({"note": ""} if len(names) == 2 else {}) for name in order}
        self._refill(group, {**others, **rows})

    def _note_rows(self, change: RowsChange, before: tuple[str, ...] | None) -> None:
        after = self.rows(change.table)
        if after != before:
            self.done.append(Done("rows", change.table, before, after))

    # -- states and the build as a whole --------------------------------------------------------

    def set_states(self, names: Iterable[str], new: State) -> None:
        """Say of each name how far it is; a name that is so far already is left as it is."""
        there = self.top("states")
        for name in names:
            old = read_state(there.get(name))
            if old is None or (old.state, old.date) != (new.state, new.date):
                on = {"date": new.date} if new.date else {}
                there[name] = {"state": new.state, **on, "revision": new.revision}
                self.done.append(Done("state", name, old, new))

    def set_alternative(self, name: str, new: Alternative | None) -> None:
        """Keep a named alternative, or take it out."""
        there = self.top("alternatives")
        old = there.pop(name, None)
        if new is not None:
            there[name] = {**new.changes, **({"note": new.note} if new.note else {})}
        was, now = (tuple(f"{k} = {v}" for k, v in one.items()) if one else None for one in (old, there.get(name)))
        if was != now:
            self.done.append(Done("alternative", name, was, now))

    def set_build(self, wanted: Mapping[str, Any]) -> None:
        """Write keys of the table `build`."""
        there = self.top("build")
        for key, value in wanted.items():
            old = there.get(key)
            if old != value:
                there[key] = value
                self.done.append(Done("build", key, *(tuple(v) if isinstance(v, list) else v for v in (old, value))))

    def top(self, key: str) -> dict[str, Any]:
        """A table at the top that is no stage.  Raises RecordError when the file has something else by that name."""
        group = self.data.setdefault(key, {})
        if not isinstance(group, dict):
            raise RecordError(f"nothing was written: '{key}' is no table in the file; it must be one headed [{key}]")
        return group

    # -- the dictionary -------------------------------------------------------------------------

    def _at(self, trail: Sequence[str]) -> Any:
        group: Any = self.data
        for key in trail:
            if not isinstance(group, dict):
                return None
            group = group.get(key)
        return group

    def _put(self, trail: Sequence[str], item: Any) -> None:
        group = self.data
        for key in trail[:-1]:
            group = group.setdefault(key, {})
        group[trail[-1]] = item

    def _drop(self, trail: Sequence[str]) -> None:
        group = self._at(trail[:-1])
        if isinstance(group, dict):
            group.pop(trail[-1], None)

    def _refill(self, group: dict[str, Any], items: Mapping[str, Any]) -> None:
        items = dict(items)
        group.clear()
        group.update(items)


def _merged_order(have: Sequence[str], seen: Sequence[str], wanted: Sequence[str]) -> list[str]:
    """Rows in the order the writer wants; rows the writer did not know keep their place after their neighbour.

    >>> _merged_order(["a", "new", "b"], ["a", "b"], ["b", "a"])
    ['b', 'a', 'new']
    """
    stay = [name for name in seen if name in wanted]
    if [name for name in wanted if name in stay] == stay and set(have) - set(wanted):
        return list(have)
    order = [name for name in wanted if name in have]
    for place, name in enumerate(have):
        if name not in wanted:
            after = order.index(have[place - 1]) + 1 if place and have[place - 1] in order else len(order)
            order.insert(after, name)
    return order
