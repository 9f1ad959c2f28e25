"""Plain data that remembers where each key and item was written.

What `source` makes out of YAML and what everything above reads: dictionaries and lists as usual, with
line numbers beside them. It knows nothing of what the keys mean.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kickover.core.ids import ID_PATTERN


class Table(dict[str, object]):
    """A mapping with text keys. `line` is where it starts, `lines` where each key stands."""

    __slots__ = ("line", "lines")

    def __init__(self, line: int) -> None:
        super().__init__()
        self.line = line
        self.lines: dict[str, int] = {}


class Items(list[object]):
    """A sequence. `line` is where it starts, `lines` where each item stands."""

    __slots__ = ("_places", "line", "lines")

    def __init__(self, line: int) -> None:
        super().__init__()
        self.line = line
        self.lines: list[int] = []
        self._places: tuple[int, dict[str, int]] = (0, {})

    def place_of(self, name: str) -> int | None:
        """The index of the first item of that name; names are looked through once, however often asked."""
        if self._places[0] != len(self):
            named = {_name_of(item): index for index, item in reversed(list(enumerate(self)))}
            self._places = len(self), named
        return self._places[1].get(name) if name else None


Step = str | int
"""One step of a trail: a key, or the index of an item."""


def line_of(data: object, trail: Sequence[Step], start: int = 1) -> int:
    """Give the line to which `trail` leads, or that of the last step that is there.

    Beside keys and indices a step may name an item of a list by its text, or by the first value of the
    mapping that the item is.
    """
    line = data.line if isinstance(data, Table | Items) else start
    for step in trail:
        match data:
            case Table() if isinstance(step, str) and step in data:
                line, data = data.lines[step], data[step]
            case Items():
                index = step if isinstance(step, int) else data.place_of(step)
                if index is None or not 0 <= index < len(data):
                    return line
                line, data = data.lines[index], data[index]
            case _:
                return line
    return line


def spoken(data: object, trail: Sequence[Step]) -> str:
    """Write a trail for people: keys as they are, items by their name or by their number from 1."""
    words = []
    for step in trail:
        if isinstance(step, int):
            item = data[step] if isinstance(data, Items) and step < len(data) else None
            words.append(_name_of(item) or f"#{step + 1}")
            data = item
        else:
            words.append(step)
            data = data.get(step) if isinstance(data, Table) else None
    return "/".join(words)


def words_in(data: object) -> Iterator[str]:
    """Every key and every text that looks like an id, anywhere in `data`."""
    match data:
        case Table():
            for key, value in data.items():
                yield key
                yield from words_in(value)
        case Items():
            for item in data:
                yield from words_in(item)
        case str() if ID_PATTERN.fullmatch(data):
            yield data


def _name_of(item: object) -> str:
    if isinstance(item, Table):
        item = next(iter(item.values()), None)
    return item if isinstance(item, str) and ID_PATTERN.fullmatch(item) else ""


def inner(table: Table, key: str) -> Table:
    """Give the mapping at `key`, an empty one when there is none."""
    found = table.get(key)
    return found if isinstance(found, Table) else Table(table.line)


def listed(table: Table, key: str) -> Items:
    """Give the list at `key`, an empty one when there is none."""
    found = table.get(key)
    return found if isinstance(found, Items) else Items(table.line)


def tables(items: Items) -> list[Table]:
    """Give those items of a list that are mappings."""
    return [item for item in items if isinstance(item, Table)]
