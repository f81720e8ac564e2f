"""Keys and values as TOML writes them; the standard library only reads TOML."""

import json
import re
from collections.abc import Mapping


def toml_key(name):
    """A key, in quotes where TOML needs them.

    >>> toml_key("ranges"), toml_key("low brake")
    ('ranges', '"low brake"')
    """
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else toml_value(name)


def toml_value(value):
    """A text, number, list (a line each), tuple (one line) or table, on its own.

    >>> print(toml_value({"applied": ("low brake",), "after": "1"}))
    { applied = ["low brake"], after = "1" }
    """
    if isinstance(value, str):
        # JSON escapes what TOML escapes, but for one control character.
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, Mapping):
        lines = [f"{toml_key(key)} = {toml_value(one)}" for key, one in value.items()]
        return f"{{ {', '.join(lines)} }}"
    if isinstance(value, list):
        return "[\n" + "".join(f"    {toml_value(one)},\n" for one in value) + "]"
    if isinstance(value, tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    return str(value)
