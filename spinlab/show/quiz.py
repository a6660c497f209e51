"""A short quiz: one question at a time to think about, with the reason why a wrong answer is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from ..panels import page


@dataclass(frozen=True)
class Question:
    """A question and its answers: ``{answer: (is it right, why)}``.  Exactly one is right."""

    text: str
    answers: dict[str, tuple[bool, str]]

    def __post_init__(self):
        right = [words for words, (is_right, _) in self.answers.items() if is_right]
        if len(right) != 1 or len(self.answers) < 2:
            raise ValueError(f"{self.text!r} needs at least two answers with exactly one right, got {len(right)} right")

    def told(self, answer: str) -> str:
        """What is said to an answer."""
        is_right, why = self.answers[answer]
        return f"{'Yes.' if is_right else 'Not quite.'} {why}"


class Quiz:
    """Questions one below the other; `answer` chooses from Python, `score` says how many are right so far."""

    def __init__(self, *questions: Question):
        self.questions, self.given, self._view = questions, {}, None

    def answer(self, number: int, words: str) -> str:
        """Answer a question (the first is number 1); returns what is said to it."""
        question = self.questions[number - 1]
        if words not in question.answers:
            raise ValueError(f"question {number} has no answer {words!r}; it has {', '.join(map(repr, question.answers))}")
        self.given[number] = words
        return question.told(words)

    @property
    def score(self) -> int:
        """Right answers so far."""
        return sum(self.questions[number - 1].answers[words][0] for number, words in self.given.items())

    def _repr_mimebundle_(self, **options):
        plain = "\n".join(f"{i}. {q.text} ({' / '.join(q.answers)})" for i, q in enumerate(self.questions, 1))
        if self._view is None:
            self._view = self._shown()
        shown = self._view._repr_mimebundle_(**options)
        data, about = shown if isinstance(shown, tuple) else (shown, {})
        return (data or {}) | {"text/plain": plain}, about

    @property
    def described(self) -> list:
        """Questions and what is said to each answer, as data for the page."""
        return [
            {"text": question.text, "answers": [{"words": words, "right": is_right, "told": question.told(words)}
                                                for words, (is_right, _) in question.answers.items()]}
            for question in self.questions]

    def _shown(self):
        view = _view_class()(questions=self.described)
        view.observe(self._chosen, "given")
        return view

    def _chosen(self, change):
        for number, k in change["new"].items():
            self.given[int(number)] = list(self.questions[int(number) - 1].answers)[k]


def _view_class():
    """The widget's class, made when the first quiz is shown.  The page knows every answer's reason and needs no kernel."""
    import anywidget
    import traitlets

    class View(anywidget.AnyWidget):
        _esm: ClassVar = page.module("quiz.js", "quiz")
        _css: ClassVar = page.text("quiz.css")
        questions = traitlets.List().tag(sync=True)
        given = traitlets.Dict().tag(sync=True)

    return View
