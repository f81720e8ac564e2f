"""The papers that are printed on, and the room that both have."""

PAPERS = ("a4", "letter")
# On the narrower and on the lower of the two, within the margins [mm].
WIDE, HIGH = 174.0, 240.0
