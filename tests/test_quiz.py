"""The quiz: exactly one right answer, a reason for every answer, and what the page sends is what Python knows."""

import ast
import json
from pathlib import Path

import pytest

from spinlab.show.quiz import Question, Quiz

LESSONS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))
ONE = Question("Which?", {"this": (True, "It is so."), "that": (False, "It is not, because."), "<b>": (False, "Never.")})
TWO = Question("And now?", {"left": (False, "Right it is."), "right": (True, "So it is.")})


@pytest.mark.parametrize("answers", [{"a": (True, "")}, {"a": (True, ""), "b": (True, "")},
                                     {"a": (False, ""), "b": (False, "")}])
def test_exactly_one_answer_is_right(answers):
    with pytest.raises(ValueError, match="exactly one right"):
        Question("Which?", answers)


def test_answers_are_told_and_counted():
    quiz = Quiz(ONE, TWO)
    assert quiz.answer(1, "that") == "Not quite. It is not, because." and quiz.score == 0
    assert quiz.answer(1, "this") == "Yes. It is so." and quiz.score == 1
    with pytest.raises(ValueError, match="question 2 has no answer 'up'; it has 'left', 'right'"):
        quiz.answer(2, "up")


def test_what_is_chosen_on_the_page_arrives():
    quiz = Quiz(ONE, TWO)
    bundle, _ = quiz._repr_mimebundle_()
    assert bundle["text/plain"].startswith("1. Which? (this / that / <b>)")
    quiz._view.set_state({"given": {"1": 0, "2": 0}})  # as the page's message does; names in JSON are words
    assert quiz.given == {1: "this", 2: "left"} and quiz.score == 1
    assert [a["told"] for a in quiz._view.questions[0]["answers"]] == [ONE.told(words) for words in ONE.answers]


def quiz_of(path):
    """The source of a lesson's quiz, or nothing."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return next(("".join(cell["source"]) for cell in cells if cell["id"] == "quiz"), "")


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_lesson_has_a_quiz_whose_answers_all_have_reasons(path):
    calls = [node for node in ast.walk(ast.parse(quiz_of(path))) if isinstance(node, ast.Call)
             and isinstance(node.func, ast.Name) and node.func.id == "Question"]
    assert len(calls) >= 2
    for call in calls:
        reasons = [answer.elts[1] for answer in call.args[1].values]
        assert len(reasons) >= 2
        assert all(len(ast.unparse(reason)) > 20 for reason in reasons), ast.unparse(call.args[0])
