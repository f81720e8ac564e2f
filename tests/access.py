"""Whether everybody can use what stands on a page: names, targets, the way of Tab.

A place is one element: a panel in a notebook, or what stands on a page of its own.
"""

from itertools import pairwise

# Off by itself, though WCAG 2.2 asks for it: 24 px, or as much room around it.
OPTIONS = {
    "rules": {
        "target-size": {"enabled": True},
        "label-content-name-mismatch": {"enabled": True},
    }
}
CONTROLS = (
    ":is(a[href], button, input, select, textarea, summary, [tabindex])"
    ":not([tabindex='-1'])"
)
# What Tab has to reach; of radio buttons the chosen one, from which the arrows go on.
STOPS = f"""place => {{
  const stops = new Map()
  for (const one of place.querySelectorAll("{CONTROLS}")) {{
    if (one.matches(':disabled') || !one.getClientRects().length) continue
    const stop = one.type === 'radio' ? one.name : one
    if (one.checked || !stops.has(stop)) stops.set(stop, one)
  }}
  stops.values().next().value?.focus()
  return stops.size
}}"""
# What has the focus: its name, whether it stands in the place, and its edges, counted
# from the place's own, since the page is moved to show it.
FOCUSED = """place => {
  const one = document.activeElement, seen = one.closest('label') ?? one
  const {left, top, right, bottom} = seen.getBoundingClientRect()
  const {left: x, top: y} = place.getBoundingClientRect()
  return {name: (one.ariaLabel || seen.innerText).trim(), within: place.contains(one),
    left: left - x, top: top - y, right: right - x, bottom: bottom - y}
}"""
# What is chosen from several stands in a group with a name; what is said is a status.
LOOSE = """place => [
  ...[...place.querySelectorAll('[type=radio], fieldset [type=checkbox]')].filter(
    one => !one.closest('fieldset')?.querySelector('legend')?.innerText.trim()),
  ...[...place.querySelectorAll('.gl-press, [role=group]')].filter(
    one => one.getAttribute('role') !== 'group' || !one.ariaLabel),
  ...[...place.querySelectorAll('.gl-status')].filter(
    one => !one.closest('[role=status]')),
].map(one => one.outerHTML.slice(0, 200))"""
SMALL = """place => [
  ...place.querySelectorAll('button, select, textarea, input, summary'),
].filter(one => one.getClientRects().length)
  .map(one => (/radio|checkbox/.test(one.type) && one.closest('label')) || one)
  .filter(one => {
    const {width, height} = one.getBoundingClientRect()
    return width < 24 || height < 24
  }).map(one => one.outerHTML.slice(0, 200))"""
# A field or a picture may be wider than what stands in it; the place may not.
CUT = """place => [place, ...place.querySelectorAll(':not(svg, svg *)')]
  .filter(one => one.clientWidth && one.scrollWidth > one.clientWidth + 1
    && getComputedStyle(one).display !== 'inline'
    && !one.matches('input, select, .gl-unseen'))
  .map(one => one.outerHTML.slice(0, 200))"""
# The body of a notebook has no height, and axe reads no text outside of it.
BODY = "document.body.style.minHeight = '100vh'"


def violations(page, places):
    """What axe finds wrong on a page, in the places of a selector: [(rule, element)].

    All of them have to be in view, since a notebook leaves out what is far from there.
    """
    from axe_playwright_python.sync_playwright import Axe

    page.evaluate(BODY)
    found = Axe().run(page, context=places, options=OPTIONS).response
    (read,) = [one["nodes"] for one in found["passes"] if one["id"] == "color-contrast"]
    assert len(read) >= page.locator(places).count(), "axe read too little"
    return [
        (broken["id"], node["html"][:200])
        for broken in found["violations"]
        for node in broken["nodes"]
    ]


def loose(place):
    """Radio buttons and boxes without a named group, sentences that are no status."""
    return place.evaluate(LOOSE)


def small(place):
    """Controls that are hard to hit: less than 24 px wide or high."""
    return place.evaluate(SMALL)


def cut(place):
    """What is wider than its room, so that it is cut or has to be moved aside."""
    return place.evaluate(CUT)


def walked(place):
    """What Tab reaches in a place, from its first control on, and how many it has."""
    count, stops = place.evaluate(STOPS), []
    while count and (stop := place.evaluate(FOCUSED))["within"]:
        stops.append(stop)
        assert len(stops) <= count, "Tab comes back to where it was"
        place.page.keyboard.press("Tab")
    return stops, count


def against_the_eye(stops):
    """Neighbours of which the second stands before the first, as a page is read."""
    return [
        (one["name"], then["name"])
        for one, then in pairwise(stops)
        if not _follows(one, then)
    ]


def _follows(one, then):
    """Below it, or right of it: a column beside it may begin above."""
    return then["top"] >= one["bottom"] - 1 or then["left"] >= one["right"] - 1
