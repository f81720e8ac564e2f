"""Sections of a train file by the other words that a first file has for them."""

_SECTIONS = {
    "brakes": ("band", "brake", "brake band", "disc brake", "disk brake"),
    "clutches": ("clutch", "disc clutch", "disk clutch", "drive clutch"),
    "one-way-clutches": (
        "one-way clutch", "one-way", "sprag", "sprag clutch", "roller clutch",
        "overrunning clutch", "freewheel", "owc",
    ),
    "sets": (
        "set", "gear", "gear set", "gearset", "planetary", "planetary set",
        "planetaries", "planetary gear", "planetary gear set",
    ),
    "shafts": ("shaft", "drum", "hub", "joint", "joined"),
    "locks": ("lock", "parking lock", "parking pawl", "pawl", "park"),
    "ranges": ("range", "speed", "apply chart", "chart", "gear range"),
    "selector": ("selector position", "position", "shift lever"),
    "solenoids": ("solenoid",),
    "tooth-sets": ("tooth set", "other teeth"),
    "set-up": ("setup", "set up card", "setup card"),
    "paint": ("colour", "color", "paint mark"),
}  # fmt: skip
_GOES = {
    "brakes": 'write a line, "low brake" = "rear carrier"',
    "clutches": 'write a line, "forward clutch" = ["input shaft", "rear ring"]',
    "one-way-clutches": 'write a line, "low one-way clutch" ='
    ' { member = "rear carrier", against = "case" }',
    "sets": "each has a table of its own, [sets.front]",
    "shafts": 'write a line, "output shaft" = ["rear ring"]',
    "locks": 'write a line, "parking lock" = "output shaft"',
    "ranges": 'write a line, "1" = ["forward clutch"]',
}
_KEYS = {  # inside the tables: how a key or a kind is written, by its other words
    "name": ("title", "unit", "train"),
    "kind": ("type", "gear set type", "set type"),
    "applied": ("element", "apply", "on", "clutch", "brake", "holding element"),
    "published": ("ratio", "published ratio", "gear ratio"),
    "after": ("before", "from", "previous"),
    "member": ("hold", "inner", "inner race", "part"),
    "against": ("to", "outer", "outer race", "ground", "grounded to"),
    "planets": ("planet count", "number of planets", "pinion", "planet number"),
    "simple": ("planetary", "simple planetary", "single", "epicyclic"),
    "meshed-planet": ("double pinion", "dual planet", "double planet"),
    "two-sun": ("ravigneaux", "ravigneaux set"),
    "stepped-planet": ("compound planet", "stepped"),
    "sun": ("sun gear", "sun teeth", "sun tooth"),
    "ring": ("ring gear", "ring teeth", "annulus", "internal gear"),
}
_COUNTS = ("sun", "ring", "planet", "planets", "teeth", "kind")


def where_it_goes(key):
    """Where what is under a key belongs in a train file, in words; "" if unknown.

    Spaces, hyphens, underscores, capitals and a plural make no difference.

    >>> where_it_goes("bands")
    'a band goes under [brakes]: write a line, "low brake" = "rear carrier"'
    >>> where_it_goes("carburettor")
    ''
    """
    plain = _plain(key)
    if plain in _COUNTS:
        return f"the {plain} of a gear set goes into its table, [sets.front]"
    for section, words in _SECTIONS.items():
        word = next((word for word in words if plain in _numbers(word)), None)
        if word:
            vowel = word[0] in "aeiou" and not word.startswith("one")
            article = "an" if vowel else "a"
            how = f": {_GOES[section]}" if section in _GOES else ""
            return f"{article} {word} goes under [{section}]{how}"
    return ""


def how_it_is_written(key, keys):
    """How a key or a kind is written, by another word for it; "" if unknown.

    >>> how_it_is_written("ratio", ("applied", "published", "after"))
    'write it as published'
    """
    plain = _plain(key)
    for right in keys:
        words = (right, *_KEYS.get(right, ()))
        if any(plain in _numbers(word) for word in words):
            return f"write it as {right}"
    if plain in _numbers("tooth count") or plain == "teeth":
        return "write a line for each gear, such as sun = 30"
    return ""


def _plain(key):
    return " ".join(key.casefold().replace("-", " ").replace("_", " ").split())


def _numbers(word):
    """A word and its plural, in plain form."""
    return _plain(word), _plain(f"{word}{'es' if word.endswith('ch') else 's'}")
