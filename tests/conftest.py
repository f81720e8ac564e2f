"""Properties are tried on the same examples everywhere, however slow the machine."""

from hypothesis import settings

settings.register_profile("everywhere", deadline=None, derandomize=True)
settings.load_profile("everywhere")
