"""`kickover drill`: practice on an engine with a hidden fault, lessons, progress and the class list."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from secrets import randbelow
from typing import Any

import click

from kickover.api import Loaded, UnknownNameError
from kickover.cli.completing import given_option, names_of
from kickover.cli.context import (
    form_of,
    json_option,
    learners_folder,
    library_option,
    open_library,
    print_json,
    today,
)
from kickover.cli.fronts import front_for
from kickover.core.atomic_file import write_file
from kickover.core.ids import LessonId
from kickover.documents.paper import PAPERS
from kickover.training.assessment import review
from kickover.training.best_plan import Planner
from kickover.training.drill_dialogue import DrillTalk, handle_input
from kickover.training.drill_view import DrillView
from kickover.training.exercise import Exercise, from_complaint, from_lesson, set_up
from kickover.training.hidden_engine import LEVELS
from kickover.training.lesson_pdf import answer_key_pdf, lesson_sheet_pdf
from kickover.training.practice import PracticeStage
from kickover.training.progress import DrillResult, class_list, next_exercise, result_of, standings
from kickover.training.results import OpenDrill, as_csv, keep, keep_open, read, read_open

SEEDS = 1_000_000


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"), required=False)
@click.option(
    "--machine", shell_complete=names_of("machines"), metavar="NAME|FILE", help="The machine to practise on."
)
@click.option(
    "--lesson",
    shell_complete=names_of("lessons"),
    metavar="NAME",
    help="A lesson of the library; --lessons lists them.",
)
@click.option(
    "--level", type=click.IntRange(min(LEVELS), max(LEVELS)), help="How hard, without a lesson; 2 is usual."
)
@click.option("--seed", type=click.IntRange(0), help="The same seed gives the same engine.")
@click.option(
    "--learner", metavar="NAME", help="Keep the result under this name, and repeat what went wrong."
)
@click.option(
    "--kit",
    shell_complete=names_of("kits"),
    metavar="NAME|FILE",
    help="Work with these tools and spares only.",
)
@given_option
@click.option("--sheet", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.pdf",
              help="Print the learner's sheet instead of practising here.")  # fmt: skip
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.pdf",
              help="Print the teacher's key to the same engine.")  # fmt: skip
@click.option(
    "--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="Of the sheets."
)
@click.option("--plain", is_flag=True, help="Plain lines: no colour, no cursor movement.")
@click.option("--lessons", "show_lessons", is_flag=True, help="List the lessons.")
@click.option(
    "--class", "show_class", is_flag=True, help="The class list; with --learner, one learner's exercises."
)
@click.option("--export", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.csv",
              help="Write all kept results as CSV; with --learner, one learner's.")  # fmt: skip
@library_option
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
    library: Path | None,
    as_json: bool,
) -> int:
    """Practise on an engine with a hidden fault.

    Give COMPLAINT and --machine, or --lesson, or only --learner for whatever that learner should do next.
    With --json the talk goes to standard error and the result is printed as JSON.
    """
    if export is not None:
        return _export(export, learner, as_json)
    if show_class:
        return _learner(learner, as_json) if learner else _class(as_json)
    loaded = open_library(library)
    if show_lessons:
        return _lessons(loaded, as_json)
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
    return _practise(loaded, exercise, seed, learner, plain, as_json)


def _print_sheets(
    loaded: Loaded, exercise: Exercise, seed: int | None, sheet: Path | None, key: Path | None, paper: str
) -> int:
    drawn = randbelow(SEEDS) if seed is None else seed
    practice = set_up(loaded.library, exercise, drawn)
    for file in filter(None, (sheet, key)):
        form_of(file, ("pdf",))
    if sheet:
        write_file(sheet, lesson_sheet_pdf(loaded.library, exercise, practice, paper))
    if key:
        write_file(key, answer_key_pdf(loaded.library, exercise, practice, Planner(), paper))
    click.echo(f"Engine {drawn}; the same again with --seed {drawn}")
    return 0


def _lesson_id(loaded: Loaded, lesson: str | None, learner: str | None) -> LessonId:
    known = loaded.library.lessons
    if lesson is None and learner is not None:
        left = read_open(learners_folder(), learner)
        results, _ = read(learners_folder(), learner)
        open_lesson = left.exercise if left and left.exercise in known else ""
        lesson = open_lesson or next_exercise(results, known.values(), today()) or None
    if lesson is None:
        raise click.UsageError(
            "give a COMPLAINT and --machine, a --lesson, or a --learner; --lessons lists lessons"
        )
    if lesson not in known:
        raise UnknownNameError("lesson", lesson, known)
    return LessonId(lesson)


def _practise(
    loaded: Loaded, exercise: Exercise, seed: int | None, learner: str | None, plain: bool, as_json: bool
) -> int:
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

    front = front_for(plain, beside=as_json)
    if typed:
        front.say(f"Going on where {learner} left it.")
    talk, _ = front.converse(talk, handle)
    practice = talk.view.practice
    if practice.stage is not PracticeStage.OVER:
        front.say(f"Left before the end; {f'kept for {learner}' if learner else 'nothing is kept'}.")
        return 0
    result = result_of(
        talk.view.looked_back or review(practice, talk.planner), exercise, learner or "", today()
    )
    if learner:
        keep(learners_folder(), result)
        keep_open(learners_folder(), learner, None)
        standing = next(
            standing
            for standing in standings(read(learners_folder(), learner)[0], today())
            if standing.exercise == result.exercise
        )
        front.say(f"Kept for {learner}. This exercise comes back on {standing.due.isoformat()}.")
    front.say(f"The same engine again: kickover drill {_again(exercise)} --seed {drawn}")
    if as_json:
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


def _lessons(loaded: Loaded, as_json: bool) -> int:
    rows: list[dict[str, Any]] = [
        {
            "id": lesson.id,
            "title": lesson.title,
            "level": lesson.level,
            "complaint": lesson.complaint,
            "machine": lesson.machine,
            "goal": lesson.goal,
        }
        for lesson in sorted(loaded.library.lessons.values(), key=lambda lesson: lesson.level)
    ]
    if as_json:
        print_json(rows)
        return 0
    width = max((len(row["id"]) for row in rows), default=0)
    for row in rows:
        click.echo(f"{row['level']}  {row['id']:<{width}}  {row['title']} ({row['machine']})")
    for level in LEVELS.values():
        click.echo(f"Level {level.number}: {level.title}")
    return 0


def _class(as_json: bool) -> int:
    rows = class_list(_kept(None), today())
    if as_json:
        print_json([{**asdict(row), "last": row.last.isoformat()} for row in rows])
        return 0
    width = max([len("learner"), *(len(row.learner) for row in rows)]) + 2
    click.echo(f"{'learner':<{width}}drills  cured  given away  dangers  known  due  last")
    for row in rows:
        click.echo(
            f"{row.learner:<{width}}{row.drills:>6}{row.cured:>7}{row.given_away:>8.1f} min{row.dangers:>9}"
            f"{row.known:>7}{row.due:>5}  {row.last.isoformat()}"
        )
    click.echo(f"{len(rows)} learners")
    return 0


def _learner(learner: str, as_json: bool) -> int:
    rows = standings(_kept(learner), today())
    if as_json:
        print_json(
            [{**asdict(row), "last": row.last.isoformat(), "due": row.due.isoformat()} for row in rows]
        )
        return 0
    width = max([len("exercise"), *(len(row.exercise) for row in rows)]) + 2
    click.echo(f"{'exercise':<{width}}tries  last        still known  comes back")
    for row in rows:
        known = f"{row.known:.0%}" if row.mastered else "not yet"
        click.echo(
            f"{row.exercise:<{width}}{row.tries:>5}  {row.last.isoformat()}{known:>13}  {row.due.isoformat()}"
        )
    click.echo(f"{len(rows)} exercises of {learner}")
    return 0


def _export(file: Path, learner: str | None, as_json: bool) -> int:
    results = _kept(learner)
    write_file(file, as_csv(results).encode())
    if as_json:
        print_json({"file": str(file), "results": len(results)})
    else:
        click.echo(f"{len(results)} results in {file}")
    return 0


def _kept(learner: str | None) -> tuple[DrillResult, ...]:
    results, wrong = read(learners_folder(), learner or "")
    for one in wrong:
        click.echo(one, err=True)
    return results
