"""Collecting what must be asked while a line is put together."""

from __future__ import annotations

from collections.abc import Mapping

from logbook.entry.understood import ENTER, Answer, Question


class Asker:
    """Gives the answer already had to a question, or notes the question and goes on as assumed."""

    def __init__(self, answers: Mapping[str, str]) -> None:
        self._answers = answers
        self.questions: list[Question] = []
        self.learned: list[tuple[str, str]] = []
        self._asked: set[str] = set()

    def withdraw(self, kind: str) -> bool:
        """Takes a question back that turned out to need no answer; whether it had been asked."""
        self.questions = [question for question in self.questions if question.kind != kind]
        asked = kind in self._asked
        self._asked.discard(kind)
        return asked

    def has_asked(self, kind: str) -> bool:
        """Whether a question of this kind was asked of this line, answered or open."""
        return kind in self._asked

    def typed(self, kind: str) -> str | None:
        """What was typed in answer to a question of this kind, if it was answered."""
        return self._answers.get(kind)

    def ask(
        self,
        kind: str,
        text: str,
        answers: tuple[Answer, ...],
        *,
        assumed: str = ENTER,
        default: str | None = ENTER,
        free_text: bool = False,
        blocks_scripts: bool = True,
        as_typed: str = "",
    ) -> str:
        """The key answered, or the assumed one while the question stands open."""
        self._asked.add(kind)
        had = self._answers.get(kind)
        if had is not None and any(answer.key == had for answer in answers):
            return had
        self.questions.append(
            Question(
                kind=kind,
                text=text,
                answers=answers,
                assumed=assumed,
                default=default,
                free_text=free_text,
                blocks_scripts=blocks_scripts,
                as_typed=as_typed,
            )
        )
        return assumed


def enter_or(key: str, *, enter: str, other: str) -> tuple[Answer, ...]:
    """The two answers most questions have: Enter, or one letter."""
    return Answer(key=ENTER, means=enter), Answer(key=key, means=other)
