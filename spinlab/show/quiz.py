"""A short quiz: one question at a time to think about, with the reason why a wrong answer is wrong."""

from __future__ import annotations

import html
from dataclasses import dataclass


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
            self._view = self._widgets()
        return self._view._repr_mimebundle_(**options) | {"text/plain": plain}

    def _widgets(self):
        import ipywidgets as w

        boxes = []
        for number, question in enumerate(self.questions, 1):
            said = w.HTML()
            choice = w.RadioButtons(options=list(question.answers), index=None, layout=w.Layout(width="auto"))

            def chosen(change, number=number, said=said):
                said.value = f'<p role="status"><b>{html.escape(self.answer(number, change["new"]))}</b></p>'

            choice.observe(chosen, "value")
            boxes.append(w.VBox([w.HTML(f"<b>{number}. {html.escape(question.text)}</b>"), choice, said]))
        whole = w.VBox(boxes)
        whole.add_class("spin-quiz")
        return whole
