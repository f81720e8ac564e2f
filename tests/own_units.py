"""Units that nobody ships, as instructors would write them, the last an odd one."""

from gearlab.train.trainfile import read_train

# No one-way clutch: every part is held by command.
PLAIN = """
name = "Workshop unit <A & B>"
input = "input shaft"
output = "output shaft"
[sets.front]
kind = "simple"
sun = 33
ring = 69
planets = 3
[sets.rear]
kind = "simple"
sun = 27
ring = 75
planets = 3
[shafts]
"input shaft" = []
"sun drum" = ["front sun", "rear sun"]
"output shaft" = ["front carrier", "rear ring"]
[brakes]
"second band" = "sun drum"
"low pack" = "rear carrier"
[clutches]
"drive pack" = ["input shaft", "front ring"]
"high pack" = ["input shaft", "sun drum"]
[ranges]
"first" = ["low pack", "drive pack"]
"second" = ["second band", "drive pack"]
"third" = ["drive pack", "high pack"]
"back" = ["low pack", "high pack"]
"idle" = []
"""

# Three sets one behind the other, six elements, and a sprag beside a brake.
SIX = """
name = "Training rig"
input = "a carrier"
output = "c ring"
[sets.a]
kind = "simple"
sun = 30
ring = 72
planets = 3
[sets.b]
kind = "simple"
sun = 36
ring = 72
planets = 3
[sets.c]
kind = "simple"
sun = 32
ring = 76
planets = 4
[shafts]
"first shaft" = ["a ring", "b ring"]
"second shaft" = ["b carrier", "c sun"]
[brakes]
"a brake" = "a sun"
"b brake" = "b sun"
"c brake" = "c carrier"
[clutches]
"a clutch" = ["a carrier", "a sun"]
"b clutch" = ["b ring", "b sun"]
"c clutch" = ["c ring", "c sun"]
[locks]
"parking lock" = "c ring"
[one-way-clutches]
"b sprag" = { member = "b sun", against = "case" }
[ranges]
"1" = ["a clutch", "c clutch"]
"1 hold" = ["b brake", "a clutch", "c clutch"]
"2" = ["a brake", "c clutch"]
"3" = ["a clutch", "b clutch", "c clutch"]
"4" = ["a brake", "b clutch", "c clutch"]
"R" = ["b brake", "c brake", "a clutch"]
"R fast" = ["c brake", "a clutch", "b clutch"]
"P" = ["parking lock"]
"""

# Two sets, two ranges, no reverse.
FEW = """
name = "Two-range hoist"
input = "first sun"
output = "second carrier"
[sets.first]
kind = "simple"
sun = 24
ring = 60
[sets.second]
kind = "simple"
sun = 28
ring = 68
[shafts]
"middle shaft" = ["first carrier", "second sun"]
[brakes]
"first brake" = "first ring"
"second brake" = "second ring"
[clutches]
"high clutch" = ["first sun", "middle shaft"]
[ranges]
"low" = ["first brake", "second brake"]
"high" = ["second brake", "high clutch"]
"""

# One set of a rarer kind, and one range.
ONE = """
name = "Capstan"
input = "gears sun"
output = "gears carrier"
[sets.gears]
kind = "stepped-planet"
sun = 30
sun-planet = 24
ring-planet = 16
ring = 70
[brakes]
"ring brake" = "gears ring"
[ranges]
"pull" = ["ring brake"]
"""

TEXTS = {"plain": PLAIN, "six": SIX, "few": FEW, "one": ONE}
UNITS = {name: read_train(text, name) for name, text in TEXTS.items()}
