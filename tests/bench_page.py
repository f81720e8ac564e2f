"""A bench on a page of its own, and what is read off it, for the browser tests.

A page holds only the flows that a test goes through, so that it is made at once.
"""

import json

from gearlab.bench import front, lesson
from gearlab.bench.asked import Pages
from gearlab.bench.book import HIDDEN, key_of
from gearlab.bench.state import opened
from gearlab.bench.telling import told
from gearlab.bench.view import opening_view
from gearlab.solve.powerflow import LOADS, power_flow

SCREEN, PROJECTOR, CLASS = (
    f"input/{letters}/part/0" for letters in ("screen", "projector", "class")
)
SHELL = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>bench</title>
<style>body {{ margin: 0; font: 16px/1.4 system-ui }} {style}</style>
<main><section id="bench"></section></main>
<script type="module">{script}
window.bench = mount(document.getElementById("bench"), {data})</script>
"""


def ranges(train):
    """The flows of all ranges, under both loads."""
    return [
        power_flow(train, name, load=load)
        for name in train.range_names
        for load in LOADS
    ]


def put_page(path, train, flows, views=(SCREEN,), state=None, plan=None, **view):
    """Write a page with a bench that has these flows in these views; its address.

    The page has the bench as ``window.bench``. `plan` is one for a class, at its first
    step; `view` is how it is looked at first.
    """
    pages = Pages(train)
    data = {"pages": {}, "looks": {}, "pieces": {}}
    for wanted in views:
        for key in (*map(key_of, flows), HIDDEN):
            for what, found in pages.asked(key, wanted).items():
                if what in data:
                    data[what] |= found
    data["book"] = pages.book
    data["state"] = told(opened(train)) | (state or {})
    data["view"] = opening_view(pages.book) | view
    if plan is not None:
        data |= {"plan": lesson.told_plan(plan), "walk": lesson.FIRST}
    text = SHELL.format(
        style=front.style(),
        script=front.script(),
        data=json.dumps(data).replace("<", "\\u003c"),
    )
    path.write_text(text, encoding="utf-8")
    return path.as_uri()


# What stands on a bench, as its controls and its count say it.
STATE = """bench => {
  const all = of => [...bench.querySelectorAll(of)]
  return {
    applied: all('[data-do=element]').filter(one => one.checked)
      .map(one => Number(one.value)),
    load: all('[data-do=load]').find(one => one.checked).value,
    range: all('.gl-ranges [aria-checked=true]')[0]?.value ?? null,
    position: bench.querySelector('[data-do=position]')?.value || null,
    turns: bench.querySelector('.gl-wheel').getAttribute('aria-valuenow'),
    predict: bench.querySelector('[data-do=predict]').checked,
  }
}"""

# What is wrong with where things stand on a bench, in words; how large its letters are.
ROOM = """bench => {
  const found = new Set(), px = 1
  const seen = one => one.getClientRects().length
    && getComputedStyle(one).visibility !== 'hidden'
  const all = of => [...bench.querySelectorAll(of)].filter(seen)
  const box = one => one.getBoundingClientRect()
  const said = one => [one.dataset.id ?? one.tagName.toLowerCase(),
    one.textContent.trim().replace(/\\s+/g, ' ').slice(0, 40)].join(' ')
  const apart = list => list.forEach((one, at) => list.slice(at + 1).forEach(other => {
    const [a, b] = [box(one), box(other)]
    if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > px
        && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > px)
      found.add(`on each other: ${said(one)} | ${said(other)}`)
  }))
  const inside = (list, outer) => list.forEach(one => {
    const [a, b] = [box(one), box(outer(one))]
    const out = Math.max(
      b.left - a.left, a.right - b.right, b.top - a.top, a.bottom - b.bottom)
    if (out > px) found.add(`outside by ${out.toFixed(0)} px: ${said(one)}`)
  })
  const bars = 'header, .gl-note, .gl-bar, aside, .gl-teeth, footer, .gl-class-bar'
  const tiles = all('figure, .gl-words[role=group]'), texts = all('figure svg text')
  const board = bench.querySelector('.gl-board')
  apart([...all(bars), board])
  apart([...all(bars), ...tiles])
  for (const inner of ['header > *', '.gl-bar > :not(.gl-view)', 'aside > *',
    'footer > *']) apart(all(inner).filter(one => !one.matches('.gl-unseen')))
  inside(tiles, () => board)
  inside(all(`${bars}, .gl-body, .gl-view`), () => bench)
  inside(texts, one => one.closest('figure'))
  // A title may end in "…": the sentence of its picture says all of it.
  const words = 'button, h3, h4, p, li, legend, em, .gl-words, .gl-teeth, aside,'
    + ' .gl-board'
  for (const one of all(words)) {
    if (getComputedStyle(one).display === 'inline' || one.matches('.gl-unseen'))
      continue
    const wide = one.scrollWidth - one.clientWidth
    const high = one.scrollHeight - one.clientHeight
    if (wide > px) found.add(`cut by ${wide} px: ${said(one)}`)
    if (high > px && !one.matches('.gl-teeth'))
      found.add(`scrolls by ${high} px: ${said(one)}`)
  }
  const sizes = texts.map(one => {
    const {a, b} = one.getScreenCTM()
    return parseFloat(getComputedStyle(one).fontSize) * Math.hypot(a, b)
  })
  const page = document.documentElement
  if (page.scrollWidth > innerWidth) found.add('the page scrolls sideways')
  if (page.scrollHeight > innerHeight && !bench.matches('.gl-narrow'))
    found.add('the page scrolls')
  return {found: [...found], letters: [Math.min(...sizes), Math.max(...sizes)],
    tiles: tiles.map(one => one.dataset.id ?? 'words'),
    places: tiles.map(one => [one.dataset.id ?? 'words',
      ...['left', 'top', 'width', 'height'].map(edge => Math.round(box(one)[edge]))])}
}"""
