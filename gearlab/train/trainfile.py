"""Read and write train files, which are TOML.

Every error is a ValueError whose one sentence names the file, the key, the rule and
the way out. A reader takes a value as TOML gives it; tables of readers make readers.
"""

import tomllib
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path

from ..base import checks
from ..base.filewriter import write_file
from ..base.frozenmap import FrozenMap
from ..base.tomltext import toml_key, toml_value
from .gearset import GearSet, Mesh
from .kinds import KINDS
from .train import Brake, Clutch, OneWayClutch, Range, Train, a_member
from .usualwords import how_it_is_written, where_it_goes

MAX_BYTES, MOST_RATIO, MOST_DECIMALS = 1_000_000, 1000, 12
_TOO_LARGE = f"it is larger than {MAX_BYTES} bytes; is it another file?"
SET_UP_KEYS = ("hold", "join", "mark", "look", "load", "fingers")


def read_train(text, source="<text>"):
    """Return the :class:`~gearlab.train.train.Train` that TOML `text` describes.

    Raises ValueError with one sentence that starts with `source`.

    >>> read_train('name = "Lone set"', "lone.toml")
    Traceback (most recent call last):
    ValueError: lone.toml: the train has no sets; write sets as tables, [sets.front]
    """
    with _blamed(source):
        return _train(_parsed(text))


def read_train_file(path):
    """Return the :class:`~gearlab.train.train.Train` that the file at `path` describes.

    Raises ValueError with one sentence that starts with the name of the file.
    """
    path = Path(path)
    with _blamed(path.name or str(path)):
        try:
            if path.stat().st_size > MAX_BYTES:
                raise ValueError(_TOO_LARGE)
            text = path.read_bytes().decode("utf-8")
        except OSError as error:
            rule = f"cannot read {path} ({error.strerror}); name a train file"
            raise ValueError(rule) from None
        except UnicodeDecodeError as error:
            line = error.object.count(b"\n", 0, error.start) + 1
            raise ValueError(f"line {line} is not UTF-8; save it as UTF-8") from None
        return _train(_parsed(text))


def write_train(train):
    """Return the TOML text of `train`; reading it gives an equal train.

    Raises ValueError for a train that holds what no train file can say.
    """
    lines, tables, whose = [], {}, f'train "{train.name}"'
    for key, value in _tables(train).items():
        if isinstance(value, str):
            lines += [f"{key} = {toml_value(value)}"] if value else []
        elif key in ("sets", "tooth-sets", "set-up"):
            tables |= {f"{key}.{toml_key(name)}": rows for name, rows in value.items()}
        elif value:
            tables[key] = value
    for header, rows in tables.items():
        rows = [f"{toml_key(name)} = {toml_value(row)}" for name, row in rows.items()]
        lines += ["", f"[{header}]", *rows]
    text = "\n".join(lines) + "\n"
    if read_train(text, whose) != train:
        raise ValueError(
            f"{whose}: two of a name or a value that TOML lacks; change it"
        )
    return text


def save_train(train, path):
    """Write `train` to the file at `path`, whole or not at all.

    Raises ValueError if the train or the file cannot be written.
    """
    write_file(path, write_train(train), "train file")


@contextmanager
def _at(key):
    """Note `key` on what goes wrong inside, for `_blamed` to put in front."""
    try:
        yield
    except ValueError as error:
        error.add_note(key)
        raise


@contextmanager
def _blamed(source):
    """Make one sentence, on one line, of what goes wrong inside."""
    try:
        yield
        return
    except RecursionError:
        keys, rule = (), "it is nested too deeply; three levels are enough"
    except ValueError as error:
        keys, rule = getattr(error, "__notes__", ()), str(error)
    path = ".".join(toml_key(key[:60]) for key in reversed(keys))
    sentence = f"{source}: {path}: {rule}" if path else f"{source}: {rule}"
    raise ValueError("".join(c if c.isprintable() else repr(c)[1:-1] for c in sentence))


def _parsed(text):
    try:
        if len(text.encode("utf-8")) > MAX_BYTES:
            raise ValueError(_TOO_LARGE)
        return tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"not TOML: {error}; is a quote missing?") from None
    except ArithmeticError:
        raise ValueError("a number has too many digits; write fewer") from None


def _only(types, rule, length=None):
    """A reader that lets through what is of these types and this length."""

    def reader(value):
        if not isinstance(value, types) or length not in (None, len(value)):
            raise ValueError(f"{checks.shortened(value)} was given, but {rule}")
        return value

    return reader


_text = _only(str, "a text belongs here; write it in quotes")
_list = _only(list, 'a list belongs here, such as ["one", "two"]')
_two = _only(list, "a list of two belongs here, such as [one, two]", length=2)
_table = _only(dict, "a table belongs here, with a line for each name")
_held = _only(str, "name the one member that it holds, in quotes")
_own_table = _only(dict, "each gear set has a table under a name, such as [sets.front]")
_catching = _only(
    dict, 'write { member = "...", against = "..." }, as it catches one way only'
)
_elements = _only(
    list | dict, 'the applied elements are a list; write ["forward clutch"]'
)


def _texts(value):
    return tuple(_text(one) for one in _list(value))


def _fields(what, needed=(), elsewhere=None, **readers):
    """A reader of a table of fixed keys; `needed` has what to write if one is gone.

    `elsewhere` says where another key belongs, or "". Its `keys` are those that it
    knows.
    """

    def reader(value):
        for key in _table(value):
            if key not in readers:
                remedy = elsewhere(key) if elsewhere else ""
                if remedy := remedy or how_it_is_written(key, readers):
                    raise ValueError(f"no key {checks.shortened(key)}; {remedy}")
            checks.known(key, readers, "key")
        for key, line in ((line.split()[0], line) for line in needed):
            if key not in value:
                raise ValueError(f"{what} has no {key}; write {line}")
        read = {}
        for key, given in value.items():
            with _at(key):
                read[key] = readers[key](given)
        return read

    reader.keys = tuple(readers)
    return reader


def _rows(make, gather=FrozenMap):
    """A reader of a table with a line for each name; `make` takes name and value."""

    def reader(value):
        rows = {}
        for name, row in _table(value).items():
            with _at(name):
                rows[name] = make(checks.name(name, "this line"), row)
        return gather(rows)

    return reader


def _parts(make):
    return _rows(make, lambda rows: tuple(rows.values()))


def _named(read):
    return _rows(lambda _, row: read(row))


def _gear_set(name, value):
    if "kind" not in _own_table(value):
        kinds = checks.quoted(KINDS).replace(" and ", " or ")
        raise ValueError(f"the gear set has no kind; write kind = {kinds}")
    with _at("kind"):
        kind = value["kind"]
        written = how_it_is_written(kind, KINDS) if isinstance(kind, str) else ""
        if written and kind not in KINDS:
            raise ValueError(f"no kind of gear set {checks.shortened(kind)}; {written}")
        checks.known(kind, KINDS, "kind of gear set")
    gears = (*KINDS[kind].teeth, *KINDS[kind].optional)
    readers = dict.fromkeys(("kind", "planets", *gears), lambda given: given)
    readers |= {"meshes": _meshes} if KINDS[kind].written_out else {}
    read = _fields("the gear set", **readers)(value)
    teeth = {key: read.pop(key) for key in value if key in gears}
    return GearSet(name=name, teeth=FrozenMap(teeth), **read)


def _meshes(value):
    numbered = {f"mesh {n}": mesh for n, mesh in enumerate(_list(value), start=1)}
    return _parts(lambda _, mesh: Mesh(**_mesh(mesh)))(numbered)


def _clutch(name, value):
    first, second = _texts(_two(value))
    return Clutch(name=name, first=first, second=second)


def _one_way(name, value):
    return OneWayClutch(name=name, **_catch(_catching(value)))


def _range(name, value):
    row = {"applied": value} if isinstance(_elements(value), list) else value
    return Range(name=name, **_range_row(row))


def _published(value):
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        ratio = Decimal(value)
        usable = ratio.is_finite() and 0 < ratio.copy_abs() <= MOST_RATIO
        if usable and ratio.as_tuple().exponent >= -MOST_DECIMALS:
            return ratio
    rule = (
        f"a number such as 3.15, not 0, up to {MOST_RATIO} and {MOST_DECIMALS} decimals"
    )
    raise ValueError(f"{checks.shortened(value)} was given, but a ratio is {rule}")


_mesh = _fields(
    "the mesh",
    [
        'gears = ["...", "..."], the two that mesh',
        "teeth = [..., ...], the count of each gear",
        'mesh = "external" or "internal"',
        'carrier = "...", what carries their axles, or "case"',
    ],
    **{"gears": lambda value: _texts(_two(value)), "mesh": _text, "carrier": _text},
    teeth=lambda value: tuple(_two(value)),
)
_catch = _fields(
    "the one-way clutch",
    ['member = "..." with what it catches', 'against = "case" or another member'],
    **{"member": _text, "against": _text},
)
_range_row = _fields(
    "the range",
    ["applied = [...] with its elements"],
    **{"applied": _texts, "published": _published, "after": _text},
)
_set_up = _fields("the set-up", **dict.fromkeys(SET_UP_KEYS, _text))
_brakes = _parts(lambda name, row: Brake(name=name, member=_held(row)))
_document = _fields(
    "the train",
    [
        "sets as tables, [sets.front]",
        'input = "..." with the member where power comes in',
        'output = "..." with the member that drives the wheels',
        'name = "..." with what the class calls it',
    ],
    elsewhere=where_it_goes,
    **dict.fromkeys(("name", "about", "input", "output"), _text),
    **{
        "sets": lambda value: _parts(_gear_set)(_own_table(value)),
        "shafts": _named(_texts),
        "brakes": _brakes,
        "clutches": _parts(_clutch),
        "locks": _brakes,
        "one-way-clutches": _parts(lambda n, row: _one_way(n, row)),
        "ranges": _parts(_range),
        "selector": _named(_texts),
        "solenoids": _named(_texts),
        "tooth-sets": _named(_named(lambda teeth: FrozenMap(_table(teeth)))),
        "set-up": _named(lambda row: FrozenMap(_set_up(row))),
        "paint": _named(_text),
    },
)


def _train(data):
    read = _document(data)
    sets = {one.name: one for one in read["sets"]}
    turning = [one.member(short) for one in sets.values() for short in one.members]
    turning += read.get("shafts", ())
    for key in ("input", "output"):
        with _at(key):
            a_member(read[key], turning)
    for name, changes in read.get("tooth-sets", {}).items():
        for which, teeth in changes.items():
            with _at("tooth-sets"), _at(name):
                sets[checks.known(which, sets, "gear set")].with_teeth(teeth)
    return Train(**{key.replace("-", "_"): value for key, value in read.items()})


def _tables(train):
    """The train as tables, lists, texts and numbers, in the order of a file."""
    return {
        **{key: getattr(train, key) for key in ("name", "about", "input", "output")},
        "sets": {one.name: _set_lines(one) for one in train.sets},
        "shafts": train.shafts,
        "brakes": {part.name: part.member for part in train.brakes},
        "clutches": {part.name: (part.first, part.second) for part in train.clutches},
        "locks": {part.name: part.member for part in train.locks},
        "one-way-clutches": {
            part.name: {"member": part.member, "against": part.against}
            for part in train.one_way_clutches
        },
        "ranges": {row.name: _range_line(row) for row in train.ranges},
        "selector": train.selector,
        "solenoids": train.solenoids,
        "tooth-sets": train.tooth_sets,
        "set-up": train.set_up,
        "paint": train.paint,
    }


def _set_lines(one):
    gears = {"meshes": list(map(vars, one.meshes))} if one.meshes else one.teeth
    planets = {"planets": one.planets} if one.planets else {}
    return {"kind": one.kind, **gears, **planets}


def _range_line(row):
    line = {key: vars(row)[key] for key in ("applied", "published", "after")}
    line = {key: value for key, value in line.items() if value is not None}
    return line if len(line) > 1 else row.applied
