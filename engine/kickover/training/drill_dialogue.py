"""The conversation of a drill: what a typed line does, and what is shown next. A pure state machine.

`handle_input` never raises for what a person typed; it answers with a message instead.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from kickover.core.problem import KickoverError
from kickover.session.interpreting import refusal
from kickover.session.wording import sentence
from kickover.training.assessment import review
from kickover.training.best_plan import Planner
from kickover.training.drill_screens import page_of
from kickover.training.drill_view import DrillPage, DrillView
from kickover.training.hidden_engine import DrillError
from kickover.training.practice import Practice, PracticeStage
from kickover.training.workbench import PLACES, SAFETY, Kind, Offer, offers
from kickover.ui.screen import Screen

GOAL = "Find the fault, and put it right in the fewest minutes."


@dataclass(frozen=True, slots=True)
class DrillTalk:
    """A drill being talked through."""

    view: DrillView
    planner: Planner

    @property
    def over(self) -> bool:
        """True when there is nothing more to ask."""
        return self.view.left

    @property
    def message(self) -> str:
        """The reply to the last line."""
        return self.view.message

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        if self.view.practice.stage is not PracticeStage.CHOOSE:
            return tuple(COMMANDS)
        return (*COMMANDS, *self.view.places(), *(offer.id for offer in offers(self.view.practice.session)))

    def screen(self) -> Screen:
        """What to show."""
        return page_of(self.view)


def handle_input(talk: DrillTalk, text: str) -> DrillTalk:
    """What a typed line does."""
    view = replace(talk.view, message="")
    if refused := refusal(text):
        return replace(talk, view=replace(view, message=refused))
    said = " ".join(text.split()).lower()
    if view.practice.stage is PracticeStage.OVER:
        return _after_the_end(talk, view)
    word, _, rest = said.partition(" ")
    try:
        if word in COMMANDS and (not rest or word in TAKING_WORDS):
            view = COMMANDS[word](view, rest)
        elif not said:
            view = replace(view, page=DrillPage.BENCH)
        elif view.practice.stage is PracticeStage.PROVE:
            view = _proving(view, said)
        elif view.practice.stage is PracticeStage.NAME or view.page is DrillPage.CAUSES:
            view = _naming(view, said)
        else:
            view = _choosing(view, said)
    except KickoverError as error:
        view = replace(view, message=sentence(str(error)))
    return replace(talk, view=view)


def _after_the_end(talk: DrillTalk, view: DrillView) -> DrillTalk:
    if view.looked_back is not None:
        return replace(talk, view=replace(view, left=True))
    looked = review(view.practice, talk.planner)
    return replace(talk, view=replace(view, looked_back=looked))


def _choosing(view: DrillView, said: str) -> DrillView:
    places, listed = view.places(), view.listed()
    if said.isdecimal() and view.page is DrillPage.BENCH:
        if not 1 <= int(said) <= len(places):
            raise DrillError(f"there is no number {said} here; the places are 1 to {len(places)}")
        said = places[int(said) - 1]
    elif said.isdecimal():
        if not 1 <= int(said) <= len(listed):
            raise DrillError(f"there is no number {said} here; the list has {len(listed)}")
        return _done(view, listed[int(said) - 1])
    if said in places:
        return replace(view, page=DrillPage.PLACE, place=said)
    offer = next((offer for offer in offers(view.practice.session) if offer.id == said), None)
    return _done(view, offer) if offer else _find(view, said)


def _done(view: DrillView, offer: Offer) -> DrillView:
    practice = view.practice
    ways = {Kind.CHECK: practice.check, Kind.REPAIR: practice.repair, Kind.JOB: practice.job}
    return _at_bench(view, ways[offer.kind](offer.id))


def _proving(view: DrillView, said: str) -> DrillView:
    jobs = view.safety()
    if said in {"1", "try", "yes", "y"}:
        return _at_bench(view, view.practice.try_it())
    if said.isdecimal() and 2 <= int(said) <= len(jobs) + 1:
        return _at_bench(view, view.practice.job(jobs[int(said) - 2]))
    raise DrillError(f"type a number from 1 to {len(jobs) + 1}")


def _naming(view: DrillView, said: str) -> DrillView:
    causes = view.causes()
    if said.isdecimal() and 1 <= int(said) <= len(causes):
        said = causes[int(said) - 1]
    chosen = next((cause for cause in view.practice.candidates() if cause == said), None)
    if chosen is None:
        raise DrillError(f"type a number from 1 to {len(causes)}, or name and a word")
    return _at_bench(view, view.practice.name(chosen))


def _find(view: DrillView, said: str) -> DrillView:
    found = replace(view, page=DrillPage.FOUND, said=said)
    if not said:
        return replace(view, message="Type find and a word, such as find spark.")
    if not found.listed():
        return replace(
            view, page=DrillPage.BENCH, message=f'Nothing on offer has "{said}"; type help for the words.'
        )
    return found


def _name(view: DrillView, rest: str) -> DrillView:
    if view.practice.stage is PracticeStage.PROVE:
        return replace(view, message="Try the repair first.")
    named = replace(
        view,
        page=DrillPage.CAUSES if view.practice.stage is PracticeStage.CHOOSE else DrillPage.BENCH,
        said=rest,
    )
    if rest and not named.causes():
        return replace(
            view, message=f'No cause that shows like this has "{rest}"; name alone lists them all.'
        )
    return named


def _hint(view: DrillView, _rest: str) -> DrillView:
    hints = view.exercise.hints
    view, taken = replace(view, page=DrillPage.BENCH), view.practice.hints
    if taken >= len(hints):
        left = "There are no hints to this." if not hints else "There are no more hints."
        return replace(view, message=left)
    return replace(view, practice=replace(view.practice, hints=taken + 1), message=f"Hint: {hints[taken]}")


def _page(page: DrillPage) -> Callable[[DrillView, str], DrillView]:
    return lambda view, _rest: replace(view, page=page)


def _safe(view: DrillView, _rest: str) -> DrillView:
    if view.practice.stage is not PracticeStage.CHOOSE:
        return replace(view, page=DrillPage.BENCH)
    return replace(view, page=DrillPage.PLACE, place=SAFETY)


def _at_bench(view: DrillView, practice: Practice) -> DrillView:
    return replace(view, practice=practice, page=DrillPage.BENCH, said="")


COMMANDS: Mapping[str, Callable[[DrillView, str], DrillView]] = {
    "find": _find,
    "name": _name,
    "work": _page(DrillPage.WORK),
    "safe": _safe,
    "hint": _hint,
    "goal": lambda view, _rest: replace(view, message=view.exercise.goal or GOAL),
    "stop": lambda view, _rest: _at_bench(view, view.practice.give_up()),
    "help": _page(DrillPage.HELP),
    "?": _page(DrillPage.HELP),
    "bench": _page(DrillPage.BENCH),
    "quit": lambda view, _rest: replace(view, left=True),
}
"""The words of the drill; no place is called like one of them."""

TAKING_WORDS = frozenset({"find", "name"})

assert not set(COMMANDS) & set(PLACES)
