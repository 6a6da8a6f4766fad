"""The questions of a visit asked in the terminal: every answer is in the file before the next is asked."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

import typer

from dryermodel.errors import InputError, Stopped
from dryermodel.field.asking import AWAY, Question, answered, put_answer, questions
from dryermodel.field.round import is_electric
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.visit import Visit, load_visit

HELP = f"""\
Enter passes over a question, or keeps the answer there is. back: the one before; next: the next part;
{AWAY}: takes the answer away; stop: enough for now. Every answer is kept at once."""

BACK, NEXT, STOP, WHAT = ("back",), ("next",), ("stop", "quit", "exit"), ("?", "help")


class Interview:
    """One sitting.

    Parameters
    ----------
    path : Path
        Visit file; made at the first answer if it is not there.
    have : collection of str, optional
        Tools at hand; questions that need another are left out.
    """

    def __init__(self, path: Path, have: Collection[str] | None = None) -> None:
        self.path, self.have = path, have
        self.visit: Visit | None = load_visit(path) if path.exists() else None
        self.questions = self._of_the_machine()
        self.at, self.part, self.pass_over = 0, "", True
        self.kept = 0

    def _of_the_machine(self) -> list[Question]:
        """Questions that have a meaning for the machine; before one is named, for gas."""
        return questions(self.have, self.visit is not None and is_electric(self.visit.scenario))

    def run(self) -> None:
        """Ask until the last question, ``stop`` or the end of the input.

        Raises
        ------
        Stopped
            Ctrl-C; the answers so far are in the file.
        """
        self._begin()
        try:
            while self.at < len(self.questions) and self._turn():
                pass
        except EOFError:
            typer.echo("")
        except KeyboardInterrupt:
            raise Stopped(self._goes_on()) from None
        self._end()

    def _begin(self) -> None:
        typer.echo("\n".join([*RULES, "", HELP]))
        done = sum(1 for question in self.questions if self._now(question))
        if done:
            typer.echo(f"\n{done} answered already; they are passed over, and 'back' shows them")

    def _end(self) -> None:
        typer.echo(f"\n{self._goes_on()}" if self.kept or self.path.exists() else "\nnothing answered")
        if self.path.exists():
            typer.echo(f"what is understood of it: dryermodel visit check {self.path.as_posix()}")

    def _goes_on(self) -> str:
        if not self.path.exists():
            return "nothing was answered yet"
        name = self.path.as_posix()
        return f"every answer is in {name}; 'dryermodel visit ask {name}' goes on from there"

    def _now(self, question: Question) -> str:
        return answered(self.visit, question) if self.visit is not None else ""

    def _turn(self) -> bool:
        """Ask one question; False if that was enough."""
        question = self.questions[self.at]
        now = self._now(question)
        if now and self.pass_over and not _danger_stands(question, now):
            self.at += 1
            return True
        self.pass_over = True
        self._show(question, now)
        typed = input("> ").strip()
        return self._obey(question, typed)

    def _show(self, question: Question, now: str) -> None:
        if question.part != self.part:
            typer.echo(f"\n-- {question.part}")
            self.part = question.part
        tools = f" [{', '.join(question.tools)}]" if question.tools else ""
        typer.echo(f"\n{self.at + 1}/{len(self.questions)} {question.name}: {question.words}{tools}")
        if question.caution:
            typer.echo(f"   CAUTION: {question.caution}")
        typer.echo(f"   {question.how}" + (f"; now: {now} (Enter keeps it)" if now else ""))

    def _obey(self, question: Question, typed: str) -> bool:
        """Do what was typed; False if that was enough."""
        word = typed.lower()
        if word in STOP:
            return False
        if word in WHAT:
            typer.echo(HELP)
            self.pass_over = False
        elif word in BACK:
            self.at, self.pass_over = max(self.at - 1, 0), False
        elif word in NEXT:
            self.at = self._next_part()
        elif not typed:
            self.at += 1
        else:
            return self._answer(question, typed)
        return True

    def _next_part(self) -> int:
        rest = range(self.at, len(self.questions))
        own = self.questions[self.at].part
        return next((i for i in rest if self.questions[i].part != own), len(self.questions))

    def _answer(self, question: Question, typed: str) -> bool:
        """Put an answer into the file; what cannot be is told, and the question asked again."""
        try:
            typed.encode("utf-8")
            self.visit, conflicts = put_answer(self.path, question, typed)
        except (InputError, UnicodeEncodeError) as problem:
            told = problem.message if isinstance(problem, InputError) else "holds what is no text"
            typer.echo(f"   no: {told}")
            self.pass_over = False
            return True
        self.kept += 1
        self.at += 1
        if question.name == "scenario":  # asked for before anything that hangs on it
            self.questions = self._of_the_machine()
        for conflict in conflicts:
            typer.echo(f"   BUT: {conflict.message}. Both are kept; 'back' to change one.")
        return self._safe(question)

    def _safe(self, question: Question) -> bool:
        """Tell what to do at a danger; False if nothing else is done before it is seen to."""
        danger = next((d for d in DANGERS if d.name == question.name), None)
        if danger is None or self._now(question) != "yes":
            return True
        typer.echo(f"\n   {danger.advice}")
        return not danger.leave


def _danger_stands(question: Question, now: str) -> bool:
    """Whether a danger was answered with yes: it is asked again every time."""
    return question.section == "safety" and now == "yes"
