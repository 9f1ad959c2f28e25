"""`kickover drill`: practice on an engine with a hidden fault, lessons, progress and the class list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from secrets import randbelow

import click

from kickover.api import Loaded, UnknownNameError
from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import learners_folder, open_library, today
from kickover.cli.fronts import front_for
from kickover.cli.output import answer, json_option, json_wanted, print_json
from kickover.core.atomic_file import write_file
from kickover.core.ids import LessonId
from kickover.model.library import Lesson
from kickover.training import progress
from kickover.training.assessment import review
from kickover.training.best_plan import Planner
from kickover.training.drill_dialogue import DrillTalk, handle_input
from kickover.training.drill_view import DrillView
from kickover.training.exercise import Exercise, from_complaint, from_lesson, set_up
from kickover.training.hidden_engine import LEVELS
from kickover.training.lesson_pdf import answer_key_pdf, lesson_sheet_pdf
from kickover.training.practice import PracticeStage
from kickover.training.results import OpenDrill, as_csv, keep, keep_open, read, read_open

SEEDS = 1_000_000


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"), required=False)
@options.machine()
@options.name("--lesson", "lessons", "A lesson of the library; --lessons lists them.")
@click.option(
    "--level", type=click.IntRange(min(LEVELS), max(LEVELS)), help="How hard, without a lesson; 2 is usual."
)
@options.seed()
@click.option(
    "--learner", metavar="NAME", help="Keep the result under this name, and repeat what went wrong."
)
@options.kit()
@options.given
@options.output("pdf", flags=("--sheet",), what="Print the learner's sheet instead of practising here.")
@options.output("pdf", flags=("--key",), what="Print the teacher's key to the same engine.")
@options.paper()
@options.plain
@click.option("--lessons", "show_lessons", is_flag=True, help="List the lessons.")
@click.option(
    "--class", "show_class", is_flag=True, help="The class list; with --learner, one learner's exercises."
)
@options.output("csv", flags=("--export",), what="Write all kept results; with --learner, one learner's.")
@options.library
@json_option
def drill(
    complaint: str | None,
    machine: str | None,
    lesson: str | None,
    level: int | None,
    seed: int | None,
    learner: str | None,
    kit: str | None,
    given: tuple[str, ...],
    sheet: Path | None,
    key: Path | None,
    paper: str,
    plain: bool,
    show_lessons: bool,
    show_class: bool,
    export: Path | None,
) -> int:
    """Practise on an engine with a hidden fault.

    Give COMPLAINT and --machine, or --lesson, or only --learner for whatever that learner should do next.
    With --json the talk goes to standard error and the result is printed as JSON.
    """
    if export is not None:
        kept = _kept(learner)
        write_file(export, as_csv(kept).encode())
        return answer({"file": str(export), "results": len(kept)}, [f"{len(kept)} results in {export}"])
    if show_class and learner:
        standing = progress.standings(_kept(learner), today())
        return answer([asdict(row) for row in standing], _standing_lines(learner, standing))
    if show_class:
        rows = progress.class_list(_kept(None), today())
        return answer([asdict(row) for row in rows], _class_lines(rows))
    loaded = open_library()
    if show_lessons:
        lessons = sorted(loaded.library.lessons.values(), key=lambda lesson: lesson.level)
        told = ("id", "title", "level", "complaint", "machine", "goal")
        return answer(
            [{name: getattr(one, name) for name in told} for one in lessons], _lesson_lines(lessons)
        )
    if lesson and (complaint or machine or kit or given or level):
        raise click.UsageError(
            "--lesson says all by itself; leave out complaint, machine, level, kit and given"
        )
    if complaint:
        if not machine:
            raise click.UsageError("name the machine to practise on: --machine NAME")
        exercise = from_complaint(
            loaded.library,
            loaded.complaint(complaint),
            loaded.machine(machine),
            level or 2,
            frozenset(loaded.house(one) for one in given),
            loaded.items(kit),
        )
    else:
        exercise = from_lesson(loaded.library, loaded.library.lessons[_lesson_id(loaded, lesson, learner)])
    if sheet or key:
        return _print_sheets(loaded, exercise, seed, sheet, key, paper)
    return _practise(loaded, exercise, seed, learner, plain)


def _print_sheets(
    loaded: Loaded, exercise: Exercise, seed: int | None, sheet: Path | None, key: Path | None, paper: str
) -> int:
    drawn = randbelow(SEEDS) if seed is None else seed
    practice = set_up(loaded.library, exercise, drawn)
    if sheet:
        write_file(sheet, lesson_sheet_pdf(loaded.library, exercise, practice, paper))
    if key:
        write_file(key, answer_key_pdf(loaded.library, exercise, practice, Planner(), paper))
    click.echo(f"Engine {drawn}; the same again with --seed {drawn}")
    return 0


def _lesson_id(loaded: Loaded, lesson: str | None, learner: str | None) -> LessonId:
    known = loaded.library.lessons
    if not lesson and learner:
        left = read_open(learners_folder(), learner)
        results, _ = read(learners_folder(), learner)
        open_lesson = left.exercise if left and left.exercise in known else ""
        lesson = open_lesson or progress.next_exercise(results, known.values(), today())
    if not lesson:
        raise click.UsageError(
            "give a COMPLAINT and --machine, a --lesson (--lessons lists them), or a --learner"
        )
    if lesson not in known:
        raise UnknownNameError("lesson", lesson, known)
    return LessonId(lesson)


def _practise(loaded: Loaded, exercise: Exercise, seed: int | None, learner: str | None, plain: bool) -> int:
    left = _left_open(exercise, seed, learner)
    drawn = left.seed if left else randbelow(SEEDS) if seed is None else seed
    talk = DrillTalk(DrillView(exercise, set_up(loaded.library, exercise, drawn)), Planner())
    typed = list(left.typed) if left else []
    for line in typed:
        talk = handle_input(talk, line)

    def handle(before: DrillTalk, text: str) -> DrillTalk:
        after = handle_input(before, text)
        if not after.over:
            typed.append(text)
        if learner:
            keep_open(learners_folder(), learner, OpenDrill(exercise.name, drawn, tuple(typed)))
        return after

    front = front_for(plain, beside=json_wanted())
    if typed:
        front.say(f"Going on where {learner} left it.")
    talk, _ = front.converse(talk, handle)
    practice = talk.view.practice
    if practice.stage is not PracticeStage.OVER:
        front.say(f"Left before the end; {f'kept for {learner}' if learner else 'nothing is kept'}.")
        return 0
    looked = talk.view.looked_back or review(practice, talk.planner)
    result = progress.result_of(looked, exercise, learner or "", today())
    if learner:
        keep(learners_folder(), result)
        keep_open(learners_folder(), learner, None)
        due = {
            one.exercise: one.due for one in progress.standings(read(learners_folder(), learner)[0], today())
        }
        front.say(f"Kept for {learner}. This exercise comes back on {due[result.exercise].isoformat()}.")
    front.say(f"The same engine again: kickover drill {_again(exercise)} --seed {drawn}")
    if json_wanted():
        print_json(asdict(result))
    return 0 if result.cured else 1


def _left_open(exercise: Exercise, seed: int | None, learner: str | None) -> OpenDrill | None:
    """The learner's unfinished drill of this exercise, unless another engine is asked for."""
    if not learner:
        return None
    read(learners_folder(), learner)
    left = read_open(learners_folder(), learner)
    fits = left is not None and left.exercise == exercise.name and seed in {None, left.seed}
    return left if fits else None


def _again(exercise: Exercise) -> str:
    if exercise.goal:
        return f"--lesson {exercise.name}"
    given = "".join(f" --given {one}" for one in sorted(exercise.given))
    return f"{exercise.complaint} --machine {exercise.machine.id} --level {exercise.level.number}{given}"


def _lesson_lines(lessons: Sequence[Lesson]) -> Iterator[str]:
    width = max((len(one.id) for one in lessons), default=0)
    for one in lessons:
        yield f"{one.level}  {one.id:<{width}}  {one.title} ({one.machine})"
    for level in LEVELS.values():
        yield f"Level {level.number}: {level.title}"


def _class_lines(rows: Sequence[progress.ClassRow]) -> Iterator[str]:
    width = max([len("learner"), *(len(row.learner) for row in rows)]) + 2
    yield f"{'learner':<{width}}drills  cured  given away  dangers  known  due  last"
    for row in rows:
        yield (
            f"{row.learner:<{width}}{row.drills:>6}{row.cured:>7}{row.given_away:>8.1f} min{row.dangers:>9}"
            f"{row.known:>7}{row.due:>5}  {row.last.isoformat()}"
        )
    yield f"{len(rows)} learners"


def _standing_lines(learner: str, rows: Sequence[progress.Standing]) -> Iterator[str]:
    width = max([len("exercise"), *(len(row.exercise) for row in rows)]) + 2
    yield f"{'exercise':<{width}}tries  last        still known  comes back"
    for row in rows:
        known = f"{row.known:.0%}" if row.mastered else "not yet"
        yield (
            f"{row.exercise:<{width}}{row.tries:>5}  {row.last.isoformat()}{known:>13}  {row.due.isoformat()}"
        )
    yield f"{len(rows)} exercises of {learner}"


def _kept(learner: str | None) -> tuple[progress.DrillResult, ...]:
    results, wrong = read(learners_folder(), learner or "")
    for one in wrong:
        click.echo(one, err=True)
    return results
