"""What a bench panel shows, as HTML: it reads results and draws, and solves nothing."""

from dataclasses import dataclass, replace

from .. import checks
from ..describe import element_states, sentences, title
from ..draw import draw_end_view, draw_lever, to_svg
from ..numerals import exactly, fraction, listed, number, turn_count, turns
from ..powerflow import power_flow
from .parts import text

ALL_SETS = "all sets"
ENDS = ("input", "output")


@dataclass(frozen=True, kw_only=True)
class Look:
    """How a bench is shown; nothing here changes what it does."""

    end: str = "input"
    large: bool = False
    exact: bool = False
    shown: str = ALL_SETS
    levers: bool = True

    @property
    def context(self):
        """The drawing context."""
        return "projector" if self.large else "screen"


def changed(look, **changes):
    """A look with something changed; ValueError if it names no end of the train."""
    checks.known(changes.get("end", look.end), ENDS, "end")
    return replace(look, **changes)


def sheet(flow, before, look):
    """One-way clutches, pictures and narration in one, so that they come together."""
    parts = one_way_lines(flow), pictures(flow, look), narration(flow, before)
    return f"<div>{''.join(parts)}</div>"


def blank_sheet(train, look):
    """The train at rest with nothing applied, without a word that tells an answer."""
    flow = power_flow(train, applied=())
    return f"<div>{pictures(flow, look, labels=False)}</div>"


def pictures(flow, look, labels=True):
    """End views above lever diagrams, one column a set; or one set alone, large."""
    names = [one.name for one in flow.train.sets]
    big = look.shown != ALL_SETS
    names = [look.shown] if big else names
    scenes = [
        draw_end_view(
            flow, name, end=look.end, context=look.context, labels=labels, big=big
        )
        for name in names
    ]
    if look.levers and labels and not big:
        scenes += [
            draw_lever(flow, name, end=look.end, context=look.context) for name in names
        ]
    painted = [to_svg(scene) for scene in scenes]
    columns = f"grid-template-columns:{_columns(len(names), look)}"
    limit = "max-width:min(100%,75vh);margin:0 auto;" if big else ""
    boxes = "".join([f"<div>{svg}</div>" for svg in painted])
    return f'<div class="gl-pictures" style="{limit}{columns}">{boxes}</div>'


def greyed(pictures):
    """Pictures of what was, once something could not be."""
    return pictures.replace('class="gl-pictures"', 'class="gl-pictures gl-old"', 1)


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
    """The state of each one-way clutch in words."""
    states = element_states(flow)
    lines = [
        f"<p>{text(part.name)}: <b>{states[part.name]}</b></p>"
        for part in flow.train.one_way_clutches
    ]
    return f'<div class="gl-one-ways">{"".join(lines)}</div>' if lines else ""


def narration(flow, before):
    """The words on a flow."""
    lines = [f"<li>{text(sentence)}</li>" for sentence in sentences(flow, before)]
    return f'<h4>{text(title(flow))}</h4><ul class="gl-words">{"".join(lines)}</ul>'
