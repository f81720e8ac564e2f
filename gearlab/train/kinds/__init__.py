"""The kinds of gear set, each one record in a module of its own."""

from .differential import DIFFERENTIAL
from .kind import Kind
from .meshed_planet import MESHED_PLANET
from .simple import SIMPLE
from .stepped_planet import STEPPED_PLANET
from .two_sun import TWO_SUN

# By the name that a train file gives; a kind that is added here is known everywhere.
KINDS = {
    "simple": SIMPLE,
    "meshed-planet": MESHED_PLANET,
    "two-sun": TWO_SUN,
    "stepped-planet": STEPPED_PLANET,
    "differential": DIFFERENTIAL,
    "meshes": Kind(teeth=(), members=(), written_out=True),
}
