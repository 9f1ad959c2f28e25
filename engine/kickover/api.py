"""The small Python interface: load a library, walk a machine, record findings, read the ranking.

>>> import kickover
>>> library = kickover.load()
>>> walk = library.walk("no-spark-seen", "clip-on-two-stroke")
>>> walk.record("kill-switch-in-run", "yes")
>>> walk.ranking()[0].probability > 0
True
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from kickover import authoring
from kickover.authoring.cache import load_cached
from kickover.authoring.files import shipped_folder
from kickover.core.ids import CheckId, EventId, ItemId, KitId, MachineId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.inference.belief import Ranked
from kickover.model.library import Kit, Library, Machine, Tree
from kickover.planning.plan import Step
from kickover.session.interpreting import interpret
from kickover.session.session import Session, begin


class UnknownNameError(KickoverError):
    """A complaint, machine, check, kit or situation that the library does not have."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        near = nearest(name, tuple(known))
        super().__init__(
            f"there is no {kind} called {name!r}; "
            + (f"did you mean {near!r}?" if near else f"`kickover list {kind}s` shows them")
        )


class Walk:
    """One walk, going forward in place; `session` is its present value."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def record(self, check: str, finding: str, state: str = "") -> None:
        """Record an answer as a person would type it: a finding, or a reading such as `62 psi`."""
        known = self.session.model.checks.get(CheckId(check))
        if known is None:
            raise UnknownNameError("check", check, self.session.model.checks)
        if state and state not in self.session.library.houses:
            raise UnknownNameError("situation", state, self.session.library.houses)
        self.session = self.session.record(interpret(known, finding, state))

    def back(self) -> None:
        """Take the last record back."""
        self.session = self.session.back()

    def ranking(self) -> tuple[Ranked, ...]:
        """The causes, likeliest first, with their probabilities."""
        return self.session.belief.ranking()

    def next_step(self) -> Step:
        """The step with the least expected minutes to a confirmed repair."""
        return self.session.plan().next


class Loaded:
    """A library that has been read and found sound."""

    def __init__(self, library: Library, machines: Path | None = None) -> None:
        self.library = library
        self._machines = machines

    @cached_property
    def own_machines(self) -> tuple[Machine, ...]:
        """The machines that the person wrote down and that fit the library, under names of their own."""
        folder = self._machines
        files = sorted(folder.glob("*.yaml")) if folder is not None and folder.is_dir() else []
        found = [authoring.read_machine(path, self.library)[0] for path in files]
        return tuple(one for one in found if one is not None and one.id not in self.library.machines)

    @cached_property
    def with_own_machines(self) -> Library:
        """The library with the person's own machines among its own."""
        own = {machine.id: machine for machine in self.own_machines}
        return replace(self.library, machines={**self.library.machines, **own}) if own else self.library

    def walk(
        self,
        complaint: str | Sequence[str],
        machine: str | Machine,
        given: Iterable[str] = (),
        kit: str | Kit | None = None,
        give_up: float | None = None,
        order: int | None = None,
    ) -> Walk:
        """Begin a walk; names are ids of this library. Without a kit every tool and spare is at hand.

        `order` is how many causes may meet; without it, what the library says.
        """
        complaints = (complaint,) if isinstance(complaint, str) else tuple(complaint)
        events = tuple(self.complaint(one) for one in complaints)
        houses = frozenset(self.house(one) for one in given)
        items = self.items(kit)
        if give_up is None:
            give_up = self.giving_up(kit)
        return Walk(begin(self.library, self.machine(machine), events, houses, items, give_up, order))

    def complaint(self, name: str) -> EventId:
        """The id of a complaint; UnknownNameError for any other name."""
        if name not in self.library.complaints:
            raise UnknownNameError("complaint", name, self.library.complaints)
        return EventId(name)

    def tree(self, name: str) -> Tree:
        """A tree by its id; UnknownNameError for any other name."""
        if name not in self.library.trees:
            raise UnknownNameError("tree", name, self.library.trees)
        return self.library.trees[name]

    def house(self, name: str) -> EventId:
        """The id of a house event; UnknownNameError for any other name."""
        if name not in self.library.houses:
            raise UnknownNameError("situation", name, self.library.houses)
        return EventId(name)

    def machine(self, name: str | Machine) -> Machine:
        """A machine of the library or of one's own by its name, or from a file when it ends in `.yaml`."""
        if isinstance(name, Machine):
            return name
        if name.endswith((".yaml", ".yml")):
            return authoring.load_machine(Path(name), self.library)
        if name in self.library.machines:
            return self.library.machines[MachineId(name)]
        known = self.with_own_machines.machines
        if name not in known:
            raise UnknownNameError("machine", name, known)
        return known[MachineId(name)]

    def item(self, name: str) -> ItemId:
        """The id of a tool or spare; UnknownNameError for any other name."""
        if name not in self.library.items:
            raise UnknownNameError("item", name, self.library.items)
        return ItemId(name)

    def items(self, kit: str | Kit | None) -> frozenset[ItemId] | None:
        """The items of a kit by its name or file; None, for everything, without a kit."""
        return None if kit is None else self.kit(kit).items

    def giving_up(self, kit: str | Kit | None) -> float | None:
        """What giving up costs where that kit is, in minutes; None for what the library says of the road."""
        at_bench = kit is not None and self.kit(kit).bench
        return self.library.settings.bench_give_up_minutes if at_bench else None

    def kit(self, name: str | Kit) -> Kit:
        """A kit by its name, or from a file when the name ends in `.yaml`."""
        if isinstance(name, Kit):
            return name
        if name.endswith((".yaml", ".yml")):
            return authoring.load_kit(Path(name), self.library)
        if name not in self.library.kits:
            raise UnknownNameError("kit", name, self.library.kits)
        return self.library.kits[KitId(name)]


def load(
    folder: str | Path | None = None,
    overlays: Sequence[str | Path] = (),
    cache: Path | None = None,
    machines: Path | None = None,
) -> Loaded:
    """Load a library: the shipped one, or that of a folder. Raises LibraryError with every problem.

    `overlays` are folders or files laid over it, such as the rates that `kickover cases learn` writes. With a
    folder `cache` a library that was read before is read faster; with a folder `machines` the machines that
    `kickover machine new` wrote there are known too.
    """
    base = shipped_folder() if folder is None else Path(folder)
    laid = [Path(overlay) for overlay in overlays]
    if cache is None:
        return Loaded(authoring.load_or_raise(base, overlays=laid), machines)
    return Loaded(load_cached(base, cache, overlays=laid), machines)
