"""Every text of the bench's front end that no train brings with it, in one mapping.

What stands in braces is filled in by the front end. Each text can be replaced by one of
another language, by the same kind of mapping that drawings take.
"""

from ..base.frozenmap import FrozenMap
from ..draw.kit.given import some_words

PICTURES = {
    "path": "power path",
    "levers": "levers",
    "chart": "apply chart",
}
END_WORDS = {"input": "input end", "output": "output end"}
LETTER_WORDS = {
    "screen": "for a screen",
    "projector": "for a projector",
    "class": "few and large, for the back row",
}
COLOUR_WORDS = {
    "part": "by part",
    "role": "by what it does",
    "paint": "as painted",
}

TEXTS = {
    # The bench and its controls.
    "bench_of": "Bench: {name}",
    "range": "range",
    "by_hand": "by hand",
    "selector": "selector",
    "view": "view",
    "teeth": "teeth",
    "class_view": "class view",
    "fill_screen": "fill the screen",
    "elements": "clutches and brakes",
    "one_ways": "one-way clutches",
    "load": "load",
    "changed": "changed by the shift",
    "nothing": "nothing",
    "words": "words",
    "pictures": "pictures",
    "fights": "fights",
    "light_up": "light up",
    # Turning and counting.
    "crank": "crank: input turns",
    "turn": "turn",
    "stop": "stop",
    "back_quarter": "− ¼",
    "on_quarter": "+ ¼",
    "on_one": "+ 1",
    "to_zero": "marks to the top",
    "turn_to": "turn to",
    "seen": "seen from the {end}",
    "count": "input {input} · output {output}",
    "not_determined": "not determined",
    "one_turn": "1 turn",
    "turns": "turns",
    "degrees": "degrees",
    "backward": "backward",
    "tied_up": "Tied up: the crank does not turn.",
    # How it is looked at.
    "seen_from": "seen from",
    "letters": "letters",
    "colours": "colours",
    "exact": "exact fractions",
    "circulating": "power that goes round",
    "named_teeth": "named teeth",
    "teeth_fixed": "In this file tooth counts stay as they are.",
    "all_pictures": "all pictures",
    "alone": "alone",
    # Predicting, alone or with a class.
    "predict": "predict first",
    "predict_first": "Predict first",
    "your_prediction": "your prediction",
    "how_many": "input turns for one output turn",
    "say_it": "say it, then see",
    "not_told": "Predict first: the count is hidden.",
    "answer_hidden": "The answer is hidden",
    "show_anyway": "show it anyway",
    "vote": "count hands",
    "hands_for": "hands for: {name}",
    "reveal": "reveal",
    "back": "back",
    "next": "next",
    "picture": "picture",
    "leave": "leave",
    # A class that is led through a plan.
    "progress": "{at} of {of}",
    "votes": "votes",
    "is_right": "right",
    # What is said where something does not work.
    "choose_first": "Nothing is predicted yet: choose what will happen.",
    "no_count": "No count is given: write how many input turns make one output turn.",
    "waiting": "The kernel is busy: what is new is shown as soon as it answers.",
    "gone": "No kernel answers: what was shown before still works, anything new does"
    " not; choose Run → Run All Cells.",
    "other_version": "This bench was made by another version of gearlab: make it again"
    " with the version that is installed.",
    "damaged": "This bench is damaged, so it cannot show that; run its cell again, or"
    " ask for the file again.",
    "no_full_screen": "This page may not fill the screen; press F11 instead.",
    "not_in_file": "This file does not hold that combination: it has every range and"
    " each single change from one; choose a range.",
}
# Of a file that stands alone: they are needed before its data can be read.
FILE_TEXTS = {
    "file_opening": "The bench is being opened. If this sentence stays, the browser is"
    " too old for it: open the file with one of 2023 or later.",
    "file_no_script": "The bench needs JavaScript, which is switched off or kept from"
    " this file; what follows is the apply chart and the power path, as on paper.",
    "file_old_browser": "This browser cannot unpack the bench; open the file with one"
    " of 2023 or later.",
    "file_damaged": "This file is damaged, so the bench cannot be shown; ask for the"
    " file again, or copy it again.",
}


def texts(words=FrozenMap(), english=TEXTS):
    """``{key: text}`` of the front end.

    Parameters
    ----------
    words : ``{English text: what is written instead}``
    english : the texts that are asked for

    Raises
    ------
    ValueError
        Words that are no such mapping.

    >>> texts({"selector": "Wählhebel"})["selector"]
    'Wählhebel'
    """
    some_words(words)
    return {key: words.get(text, text) for key, text in english.items()}
