"""What a bench panel shows, as HTML: it reads results and draws, and solves nothing."""

from dataclasses import dataclass, replace

from ..base import checks
from ..base.numerals import exactly, fraction, listed, number, turn_count, turns
from ..draw import (
    draw_apply_chart,
    draw_end_view,
    draw_levers,
    draw_stick,
    to_svg,
)
from ..draw.kit.layers import paint_layers
from ..draw.kit.view import COLOURINGS, ENDS
from ..say.describe import sentences, title
from ..solve.facts import element_states
from ..solve.powerflow import power_flow
from .parts import text

ALL_SETS = "all sets"
END_VIEWS, STICK, LEVERS, CHART = PICTURES = (
    "end views",
    "stick diagram",
    "lever diagrams",
    "apply chart",
)


@dataclass(frozen=True, kw_only=True)
class Look:
    """How a bench is shown; nothing here changes what it does.

    `scope` is the class of the panel, so that its styles reach no other panel.
    """

    scope: str
    end: str = "input"
    large: bool = False
    exact: bool = False
    shown: str = ALL_SETS
    colours: str = COLOURINGS[0]
    circulating: bool = False
    pictures: frozenset[str] = frozenset((END_VIEWS, STICK))

    @property
    def context(self):
        """The drawing context."""
        return "projector" if self.large else "screen"

    @property
    def manner(self):
        """What every picture is drawn with."""
        return {"end": self.end, "context": self.context}

    @property
    def coloured(self):
        """The manner, with what the colours say."""
        return {**self.manner, "colour_by": self.colours}


def changed(look, **changes):
    """A look with something changed; ValueError for what there is not."""
    checks.known(changes.get("end", look.end), ENDS, "end")
    checks.known(changes.get("colours", look.colours), COLOURINGS, "colouring")
    if "pictures" in changes:
        for name in changes["pictures"]:
            checks.known(name, PICTURES, "picture")
        changes["pictures"] = frozenset(changes["pictures"])
    return replace(look, **changes)


def sheet(flow, before, look):
    """(pictures and narration, outlines below them); they come together."""
    live, kept = end_views(flow, look)
    parts = live, *_wide(_pictures(flow, look)), narration(flow, before)
    return f"<div>{''.join(parts)}</div>", kept


def blank_sheet(train, look):
    """The train at rest with nothing applied, without a word that tells an answer."""
    flow = power_flow(train, applied=())
    live, kept = end_views(flow, look, labels=False)
    plain = ()
    if STICK in look.pictures:
        plain = (draw_stick(flow, power=False, **look.manner),)
    return f"<div>{live}{''.join(_wide(plain))}</div>", kept


def end_views(flow, look, labels=True):
    """(words and signs, outlines) of the end views; or of one set alone, large."""
    if END_VIEWS not in look.pictures:
        return "", ""
    big = look.shown != ALL_SETS
    names = [look.shown] if big else [one.name for one in flow.train.sets]
    live, kept = [], []
    for place, name in enumerate(names):
        scene = draw_end_view(flow, name, labels=labels, big=big, **look.coloured)
        outlines, over = paint_layers(scene, f".{look.scope} .gl-set{place}")
        live.append(f"<div>{over}</div>")
        kept.append(f'<div class="gl-set{place}">{outlines}</div>')
    # One set alone is as large as the window lets it be seen whole.
    limit = "max-width:min(100%,75vh);margin:0 auto;" if len(names) == 1 else ""
    grid = f'style="{limit}grid-template-columns:{_columns(len(names), look)}"'
    over, outlines = (
        f'<div class="gl-pictures" {grid}>{"".join(boxes)}</div>'
        for boxes in (live, kept)
    )
    return over, f'<div class="gl-kept">{outlines}</div>'


def _pictures(flow, look):
    """The scenes below the end views."""
    if STICK in look.pictures:
        yield draw_stick(flow, circulating=look.circulating, **look.coloured)
    if LEVERS in look.pictures:
        yield draw_levers(flow, **look.coloured)
    if CHART in look.pictures:
        yield draw_apply_chart(
            flow.train, load=flow.load, current=flow.range, context=look.context
        )


def _wide(scenes):
    return [f'<div class="gl-wide">{to_svg(scene)}</div>' for scene in scenes]


def _columns(sets, look):
    """One column a set; in large print as many as keep the letters large."""
    if sets == 1:
        return "1fr"
    if look.large:
        return "repeat(auto-fit,minmax(min(100%,390px),1fr))"
    return f"repeat({min(sets, 3)},minmax(0,420px))"


def counters(flow, at, look, spinning):
    """How far the input and the output have turned, as the eye reads it."""
    seen = f"Seen from the {look.end} end"
    if flow.state == "tied up":
        fight = flow.train.in_order(flow.conflict)
        return (
            f'<p class="gl-count">tied up: {text(listed(fight, ""))}</p>'
            f"<p>The crank does not turn. {seen}.</p>"
        )
    if spinning:
        return (
            '<p class="gl-count">turning: half an input turn a second</p>'
            "<p>Stop to read the counters. Nothing moves if your system asks for less"
            f" motion: use the steps. {seen}.</p>"
        )
    speed = flow.speeds[flow.train.output]
    output = "not determined" if speed is None else _count(speed * at, look)
    return (
        f'<p class="gl-count">input {_count(at, look)} · output {output}</p>'
        f"<p>{_ratio(flow, look)} {seen}.</p>"
    )


def _count(value, look):
    if look.exact:
        return f"{turns(value)} ({fraction(value)})"
    return turn_count(value)


def _ratio(flow, look):
    if flow.ratio is None:
        return f"{flow.state}."
    shown = exactly(flow.ratio) if look.exact else number(flow.ratio)
    return f"ratio {shown} (input turns for one output turn)."


def one_way_lines(flow):
    """The state of each one-way clutch in words, with what it backs up."""
    states, lines = element_states(flow), []
    for part in flow.train.one_way_clutches:
        backed = text(listed(flow.backing_up.get(part.name, ())))
        words = f"<b>{states[part.name]}</b>{backed and ' '}{backed}"
        lines.append(f"<p>{text(part.name)}: {words}</p>")
    return f'<div class="gl-one-ways">{"".join(lines)}</div>' if lines else ""


def narration(flow, before):
    """The words on a flow."""
    lines = [f"<li>{text(sentence)}</li>" for sentence in sentences(flow, before)]
    return f'<h4>{text(title(flow))}</h4><ul class="gl-words">{"".join(lines)}</ul>'
