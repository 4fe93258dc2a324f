"""Slips in single cells that a careful helper would ask about: questions with reasons, never refusals."""

from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Question, Topic
from maker_kit.workshop.slips.questions import questions

__all__ = ["Held", "Question", "Topic", "questions"]
