"""The fields in which somebody says who answers, on a desk and on the page of labs."""

from ..lab.question.papers import FORMS
from . import press


def signing_fields():
    """A field for the ids, and a list of the forms."""
    forms = [(form, form) for form in FORMS]
    return [
        press.line("student id, or several", wide=True),
        press.choice("form", forms),
    ]
