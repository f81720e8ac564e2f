// Where pictures and words stand on a board, all letters equally large.

const GAP = 8; // between pictures [px]
const FEW = 6; // pictures that are tried in all ways
const HEAD = 24; // above each picture, for its title [px]
const SMALLER = 0.9; // pictures may be so much smaller for the words below them
const WORDS = [260, 460]; // beside a row the words are so wide, at least and at most [px]

const sum = (list, of) => list.reduce((all, one) => all + of(one), 0);
const highest = (row) => Math.max(...row.map((tile) => tile.h));

/** A picture at a scale of 1, with its key or without. */
const tile = (id, { w, h, kw, kh }, keyed) =>
  keyed ? { id, w: Math.max(w, kw), h: h + kh } : { id, w, h };

/** All ways to cut a list into rows; of a long list, only into rows of as many each. */
function* cuts(list) {
  for (let most = 1; list.length > FEW && most <= list.length; most++) {
    yield Array.from({ length: Math.ceil(list.length / most) }, (_, row) =>
      list.slice(row * most, (row + 1) * most),
    );
  }
  if (list.length > FEW) return;
  for (let ways = 0; ways < 1 << (list.length - 1); ways++) {
    const rows = [[list[0]]];
    list.slice(1).forEach((one, i) => (ways & (1 << i) ? rows.push([one]) : rows.at(-1).push(one)));
    yield rows;
  }
}

/**
 * The room on a board. `high` is how high the words are, null for none; `column` is how wide in
 * a column of their own; `most` is the largest scale.
 * @typedef {{width: number, height: number, high: ?(width: number) => number, column: number,
 *   most: number}} Room
 */
/**
 * The arrangement with the largest letters: {scale, places, words}, or null.
 * @param {{id: string, w: number, h: number}[]} tiles pictures at a scale of 1
 * @param {Room} room
 */
function arranged(tiles, room) {
  let best = null;
  const better = (found) => found && (!best || found.scale > best.scale * 1.02) && (best = found);
  for (const rows of cuts(tiles)) {
    const sides = room.high ? ["row", "column", "below"] : [""];
    for (const side of sides) better(placed(rows, side, room));
    if (rows.length > 1 && rows[0].length === 1) better(beside(rows[0][0], rows.slice(1), room));
  }
  return best;
}

/** One row: its pictures use all of the width from x on. */
function row_of(row, x, y, width, scale, places) {
  const deep = HEAD + scale * highest(row);
  const spare = width - scale * sum(row, (tile) => tile.w) - GAP * (row.length - 1);
  const apart = spare / (row.length + 1);
  for (const tile of row) {
    x += apart;
    places[tile.id] = { x, y, w: scale * tile.w, h: deep, scale };
    x += scale * tile.w + GAP;
  }
  return y + deep + GAP;
}

/** The first picture with the words under it, the others in rows beside; or null. */
function beside(first, rows, { width, height, high, most }) {
  const wide = (row) => sum(row, (tile) => tile.w);
  const gaps = GAP * Math.max(...rows.map((row) => row.length));
  const across = (width - gaps) / (first.w + Math.max(...rows.map(wide)));
  const tall = (height - rows.length * (HEAD + GAP) + GAP) / sum(rows, highest);
  let scale = Math.min(across, tall, (height - HEAD) / first.h, most);
  if (!(scale > 0)) return null;
  // What is over goes to both sides alike.
  const left_of = () => (width + scale * (first.w - Math.max(...rows.map(wide))) - gaps) / 2;
  const least = SMALLER * scale;
  const free = () => height - HEAD - scale * first.h - GAP;
  while (high && scale > least && high(left_of()) > free()) scale *= 0.99;
  const left = left_of();
  const places = {};
  const under = row_of([first], 0, 0, left, scale, places);
  const words = high && { x: 0, y: under, w: left, h: height - under };
  if (words && high(left) > words.h) return null;
  let y = 0;
  for (const row of rows) y = row_of(row, left + GAP, y, width - left - GAP, scale, places);
  return { scale, places, words };
}

/** Rows of pictures with the words in a row's free end, a column, or below; or null. */
function placed(rows, side, { width, height, high, most, column: apart }) {
  const column = side === "column" ? apart + GAP : 0;
  const under = side === "below" ? high(width) + GAP : 0;
  if (column && high(column - GAP) > height) return null;
  const room = (row) => width - column - GAP * (row.length - 1);
  const across = Math.min(...rows.map((row) => room(row) / sum(row, (tile) => tile.w)));
  const heads = rows.length * HEAD + GAP * (rows.length - 1);
  const scale = Math.min(across, (height - under - heads) / sum(rows, highest), most);
  if (!(scale > 0)) return null;
  const places = {};
  let words = column ? { x: width - column + GAP, y: 0, w: column - GAP, h: height } : null;
  let y = 0;
  for (const row of rows) {
    const deep = HEAD + scale * highest(row);
    let spare = room(row) - scale * sum(row, (tile) => tile.w);
    const w = Math.min(spare - GAP, WORDS[1]);
    if (side === "row" && !words && w >= WORDS[0] && high(w) <= deep) {
      words = { x: width - w, y, w, h: deep };
      spare -= w + GAP;
    }
    const taken = scale * sum(row, (tile) => tile.w) + GAP * (row.length - 1);
    y = row_of(row, 0, y, taken + spare, scale, places);
  }
  if (side === "below") words = { x: 0, y, w: width, h: height - y };
  return side && !words ? null : { scale, places, words };
}

/** Pictures below each other, where the page is narrow and scrolls, then the words. */
function stacked(tiles, width, high) {
  const places = {};
  let y = 0;
  for (const { id, w, h } of tiles) {
    const scale = Math.min(1.2, width / w);
    places[id] = { x: (width - scale * w) / 2, y, w: scale * w, h: HEAD + scale * h, scale };
    y += HEAD + scale * h + GAP;
  }
  const words = high && { x: 0, y, w: width, h: high(width) };
  return { places, words, y: y + (words ? words.h : 0) };
}
