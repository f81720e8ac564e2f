"""A frame with two scales, and curves in it: what a picture of a log is made of."""

from dataclasses import dataclass
from math import ceil, floor, log10

from ..kit.shapes import Line, Polygon, Text


@dataclass(frozen=True, kw_only=True)
class Frame:
    """A frame on the page [px], and the numbers that its edges stand for."""

    left: float
    top: float
    width: float
    height: float
    x: tuple[float, float]
    y: tuple[float, float]
    grows: bool = False  # whether equal steps up are equal factors

    @property
    def right(self):
        """Its right edge [px]."""
        return self.left + self.width

    @property
    def foot(self):
        """Its lower edge [px]."""
        return self.top + self.height

    def across(self, value):
        """Where a number of the scale below is [px]."""
        low, high = self.x
        return self.left + self.width * (value - low) / (high - low)

    def up(self, value):
        """Where a number of the upright scale is [px], within the frame."""
        low, high = map(self._scaled, self.y)
        part = (self._scaled(value) - low) / (high - low)
        return self.foot - self.height * min(1.0, max(0.0, part))

    def _scaled(self, value):
        return log10(max(value, 1e-9)) if self.grows else value

    def box(self, low, high, role, start=None, end=None):
        """A rectangle from `low` to `high`, all the way across if no ends are given."""
        left = self.left if start is None else self.across(start)
        right = self.right if end is None else self.across(end)
        top, foot = self.up(high), self.up(low)
        corners = ((left, top), (right, top), (right, foot), (left, foot))
        return Polygon(points=corners, role=role)

    def edges(self):
        """Its left and its lower edge."""
        corner = (self.left, self.foot)
        points = ((self.left, self.top), corner, (self.right, self.foot))
        return Line(points=points, role="axis")

    def curve(self, times, values, role):
        """Values over time as lines; where there is none, the line stops."""
        part, found = [], []
        for time, value in thinned(times, values, round(self.width)):
            if value is None:
                found.append(part)
                part = []
            else:
                part.append((self.across(time), self.up(value)))
        found.append(part)
        return [Line(points=tuple(one), role=role) for one in found if len(one) > 1]

    def scale_below(self, font, unit):
        """Marks and numbers below the frame."""
        steps = ticks(*self.x, self.width / (5 * font))
        shapes, digits = [], _digits(steps)
        for value in steps:
            x = self.across(value)
            ends = ((x, self.foot), (x, self.foot + 0.35 * font))
            text = f"{value:.{digits}f}".replace("-", "−")
            look = {"y": self.foot + 1.75 * font, "size": font, "anchor": "middle"}
            shapes += [Line(points=ends, role="scale"), Text(x=x, text=text, **look)]
        look = {"y": self.foot + 3.0 * font, "size": font, "anchor": "end"}
        return [*shapes, Text(x=self.right, text=unit, **look)]

    def scale_left(self, font, values, digits=0):
        """Marks and numbers at the left of the frame, with thin lines across."""
        shapes = []
        for value in values:
            y = self.up(value)
            ends = ((self.left - 0.35 * font, y), (self.right, y))
            text = f"{value:.{digits}f}".replace("-", "−")
            look = {"y": y + 0.36 * font, "size": font, "anchor": "end"}
            x = self.left - 0.6 * font
            shapes += [Line(points=ends, role="grid"), Text(x=x, text=text, **look)]
        return shapes


def ticks(low, high, most):
    """Round numbers between two ends, about so many at the most.

    >>> ticks(0, 25, 6), ticks(3, 4, 4)
    ([0, 5, 10, 15, 20, 25], [3.0, 3.5, 4.0])
    """
    rough = (high - low) / max(most, 1.0)
    power = 10.0 ** floor(log10(rough))
    step = next(power * part for part in (1, 2, 5, 10) if power * part >= rough - 1e-12)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    found = [round(place * step, 9) for place in range(first, last + 1)]
    return [int(value) for value in found] if step >= 1 else found


def _digits(values):
    """How many decimals tell some ticks apart."""
    return next(
        digits
        for digits in range(10)
        if all(abs(round(value, digits) - value) < 1e-9 for value in values)
    )


def thinned(times, values, most):
    """(time, value) of a curve: of many, the least and the largest of each column.

    A gap stays a gap, as one None. So no spike is lost, and no point is drawn that
    another one covers.
    """
    count = len(times)
    wide = max(1, ceil(count / max(1, most)))
    if wide <= 2:
        yield from zip(times, values, strict=True)
        return
    for start in range(0, count, wide):
        part = range(start, min(start + wide, count))
        there = [place for place in part if values[place] is not None]
        if not there:
            yield times[start], None
            continue
        ends = {min(there, key=values.__getitem__), max(there, key=values.__getitem__)}
        for place in sorted(ends):
            yield times[place], values[place]
