"""The usual slips of learners, each with a name and what helps.

Which mistakes are usual is common practice, no source. A sentence says what was done
and where to look, never the right answer. It is what "Not yet:" is followed by.
"""

from fractions import Fraction

from .question import Slip

WORDS = {
    "the lost sign": "the size is right. Which way does it turn?",
    "the tooth ratio without the one": "that is two tooth counts alone. The carrier"
    " turns too; what must be added?",
    "one added to a held carrier": "the carrier stands still here. Does anything come"
    " on top?",
    "ring and sun swapped": "ring and sun have changed places. Which one is held?",
    "the ratio of another range": "that belongs to another range. Which elements are"
    " applied here?",
    "the front set forgotten": "that is the rear section alone. What does the front"
    " set do?",
    "the rear sets multiplied": "the rear sets do not work in series. They share two"
    " shafts.",
    "the planet from the ground": "that is the planet seen from the bench. How does it"
    " turn on its carrier?",
    "the planet from its carrier": "that is the planet seen from its carrier. How does"
    " it turn for you at the bench?",
    "direction from the size": "a large ratio says nothing about the way it turns."
    " Look at what is held.",
    "a one-way clutch applied": "nobody applies a one-way clutch. It holds by itself.",
    "a clutch taken for a held member": "a clutch joins two parts. It holds nothing to"
    " the case.",
    "a step for a ratio": "that compares two ranges. One range alone is asked.",
    "a ratio for a step": "that is one range alone. Compare two ranges.",
    "input and output swapped": "that set-up turns it from the other end. Which member"
    " is the input?",
    "the order turned round": "the order runs the other way. Which one comes first?",
    "nothing held taken for a drive": "what would the set push against?",
    "the start mark counted": "the mark at the top is nought. Where does one begin?",
    "counted for one input turn": "that is for one input turn. One output turn is"
    " asked.",
    "the output torque": "that is what the output gets. Who gives how much of it?",
    "the input torque": "that is what the input gets. The case adds the rest.",
    "input and case counted together": "the input's part goes off, not on.",
    "the clutch not flipped": "that is how it goes the right way round. Turn it in your"
    " mind.",
    "one turn for five": "that is for one output turn. Count five.",
    "the turns not shared out": "that is the whole count. What is it for one turn?",
    "degrees taken for decimals": "a degree is no hundredth. What part of 360 is it?",
    "the error multiplied": "more turns make a ratio surer, not less sure.",
    "only one of two errors": "either count may be off. Which gap is safe then?",
    "the reading taken as sure": "each reading may be off. How far apart are the two?",
    "a free clutch taken for one that holds": "where it overruns, it holds nothing.",
    "the other end forgotten": "that is how it looks from the input end.",
    "the creep turned round": "let the held part run quite free. What is left over?",
    "coasting taken for drive": "that is so when coasting. Here it is under power.",
    "drive taken for coasting": "that is true under power. Here the vehicle drives.",
    "the one not taken off": "one turn of the carrier is still in it. Take it off.",
    "the rule of assembly forgotten": "can that sun and ring take the planets, equally"
    " spaced?",
    "the difference taken": "how many times as much, not how much more. Divide.",
    "multiplied, not divided": "one of the two stands in the other. Divide it out.",
    "divided the wrong way round": "turn it over. Which of the two is on top?",
    "the mean taken": "halfway adds alike. Equal steps multiply alike.",
    "the same added to both": "sun and ring grew by as many teeth. Is their proportion"
    " the same?",
    "the same sum kept": "the sum is the same. A ratio needs the proportion.",
    "turning taken for deciding": "the set turns there too. Does it carry anything?",
    "another set taken": "that belongs to another set. Which one is asked?",
    "the other sun taken": "that is with the other sun. Which clutch is applied?",
    "the fixed sun forgotten": "two members push on the case. What takes the sun?",
    "another element crossed out": "that is what another element costs.",
    "the sun alone compared": "the ring counts too. Compare the proportions.",
    "joined by a clutch only": "a clutch joins them, but only while it is applied.",
    "the failed part forgotten": "that part has work to do in this range.",
    "the one-way clutch forgotten": "nobody applies a one-way clutch. Could one catch?",
    "a path taken for cut": "trace it from the input, past what failed. Is it cut?",
    "a path that is cut": "trace it from the input. Where does the path end now?",
    "the brake's own push": "that is how the brake pushes back. What does it answer?",
    "held taken for locked": "one held drum does not stop the output. Where does its"
    " motion go?",
    "size taken for speed": "backward is slower than standing still.",
    "the front set turned over": "that is the front set the wrong way up. Does it gear"
    " up or down?",
    "off and on swapped": "that is the other side of the shift.",
    "all that is applied": "some of these were applied before. Which ones change?",
    "the ratios subtracted": "a step is no difference. How many times as large is the"
    " first ratio?",
    "the step turned over": "that is the ratio after over the ratio before. Turn it"
    " over.",
    "the speed multiplied": "that is the input speed times the ratio. Which shaft is"
    " the slower one?",
    "the sun shaft's own turns": "that is how far the common-sun shaft turns. What must"
    " the input do for that?",
    "what backs up forgotten": "could a one-way clutch beside the brake hold it too?",
    "held taken for turning": "what overruns turns past its other side. Does it turn"
    " here?",
    "turning taken for held": "what holds stands still. Does it stand still here?",
    "a push the other way": "which way is it pushed? A one-way clutch holds one way.",
    "too few taken for too many": "is too much applied at that moment, or too little?",
    "early taken for late": "that happens if the others come first.",
    "the shift turned round": "that is how it goes the other way round. Which"
    " range is first?",
    "one arm over the other": "that compares the arms. What part of the whole is it?",
    "measured from the wrong end": "a speed is measured from the case line.",
    "counted for one output turn": "that is for one output turn. One input turn is"
    " asked.",
    "the wrong node read": "that is another node. Which one is the sun's?",
    "the wrong side of the case line": "there it does something else. On which side of"
    " the case line are you?",
    "two gaps taken for one": "there is a planet on each side of the sun.",
    "added for taken off": "the planet lies between the two. Is there more room or"
    " less?",
    "taken off for added": "both gears must have a gap for it. Do their places add?",
    "only one gear counted": "that is one gear alone. The planet meets two.",
    "the neighbours forgotten": "those would touch. How far apart are the tips?",
    "the spacing forgotten": "there is room for so many, but not at equal angles.",
    "the half tooth forgotten": "planets have whole teeth. What do sun and ring leave?",
    "turns of the other gear": "that is how often the other gear turns.",
    "a common divisor forgotten": "they meet sooner. What do both counts have in"
    " common?",
    "teeth counted for turns": "so many teeth pass. How many turns is that?",
    "output turns for input turns": "the output turns so often by then. Turns of the"
    " input are asked.",
    "the planets forgotten": "sun and carrier are back. Look at the planets.",
    "multiplied, not shared": "they meet sooner. What do both counts have in common?",
    "the input taken off in reverse": "the output goes the other way here. Does the"
    " input help the case?",
    "the path of another range": "that path belongs to another range. Which clutch is"
    " applied here?",
    "the other branch": "that is the rest, which goes the other way.",
    "an idle clutch counted": "beside an applied element a one-way clutch only stands"
    " by.",
    "shared out by guess": "what makes you sure? What if one of them grips harder?",
    "the losses forgotten": "that is without friction.",
    "a loss that drives": "friction takes away. It gives nothing.",
    "one mesh forgotten": "the power goes through one mesh more.",
}


def slip(name, answer, words=None):
    """A slip of that name; `words` says more than the usual sentence.

    Raises KeyError for a name that is not in the table and brings no words.
    """
    return Slip(name=name, answer=answer, words=words or WORDS[name])


def each_option(found, name):
    """A slip of one name for each of some options; `found` is {option: words}."""
    return tuple(slip(name, option, words) for option, words in found.items())


def reciprocal(count, of="output", to="input"):
    """Turns turned over: turns of one part for one turn of another, the wrong way."""
    words = f"that is {of} turns for one {to} turn. Turn it over."
    return slip("the reciprocal", 1 / Fraction(count), words)


def lost_sign(ratio):
    """The size without the direction, or the wrong direction."""
    return slip("the lost sign", -Fraction(ratio))


def without_the_one(answer, above, below):
    """Two tooth counts alone, "ring over sun"; the turn of the carrier is left out."""
    words = f"that is {above} over {below} alone. The carrier turns too; what is added?"
    return slip("the tooth ratio without the one", answer, words)


def another_range(ratios):
    """The ratios of the other ranges, a slip each; `ratios` is {range: ratio}."""
    name = "the ratio of another range"
    return tuple(
        slip(name, ratio, f"that is range {other}. Which elements are applied here?")
        for other, ratio in ratios.items()
    )
