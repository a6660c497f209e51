"""What a lesson needs, in one line: ``from spinlab.show.lesson import *``."""

from ..catalogue import BALLS, FACES, GREENS, PITCH, STATES, WETNESS
from ..physics.contact import strike
from ..physics.flight import fly
from ..physics.green import land
from ..physics.shot import play
from ..records import Air, Ball, Between, Delivery, Face, Green, Grooves, Launch
from ..units import deg, ft, mm, mph, rpm, said, um, written, yd
from .desk import Desk
from .quiz import Question, Quiz
from .studio import Studio

__all__ = ["BALLS", "FACES", "GREENS", "PITCH", "STATES", "WETNESS", "Air", "Ball", "Between", "Delivery", "Desk", "Face",
           "Green", "Grooves", "Launch", "Question", "Quiz", "Studio", "deg", "fly", "fold", "ft", "grid", "land",
           "mm", "mph", "picture", "play", "rpm", "said", "say", "strike", "tell", "um", "written", "yd"]


def say(*sentences):
    """Sentences to say aloud, set large; the numbers in them come from the cells above."""
    from IPython.display import Markdown

    return Markdown("\n\n".join(f"> **{sentence}**" for sentence in sentences))


def tell(*paragraphs):
    """Plain paragraphs, in lines that break between words."""
    from IPython.display import Markdown

    return Markdown("\n\n".join(paragraphs))


def picture(build, result, *, also="", width=672, height=330):
    """A picture that stands still, with its sentence below it and as the words for those who do not see it; and what is
    `also` said, such as the same in other units."""
    from IPython.display import Markdown

    from .still import drawn

    markup, said = drawn(build, result, width=width, height=height)
    return Markdown(f"{markup}\n\n{said} {also}".rstrip())


def fold(title, *paragraphs):
    """Paragraphs folded away under a title that opens them: answers to hold one's own against."""
    from IPython.display import Markdown

    return Markdown("\n\n".join((f"<details><summary>{title}</summary>", *paragraphs, "</details>")))


def grid(head, rows, numbers=True):
    """A small table under a heading for each column; `numbers` stand to the right, each with its unit in one line."""
    import re

    from IPython.display import Markdown

    lines = (head, ["---", *["---:" if numbers else "---"] * (len(head) - 1)], *rows)
    whole = "\n".join("| " + " | ".join(map(str, line)) + " |" for line in lines)
    return Markdown(re.sub(r"(?<=\d) (?=[\w°%µ])", "\u00a0", whole))
