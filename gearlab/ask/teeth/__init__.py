"""Tooth counts from turn counts, and sweeps over them; the only floor with numpy."""
