// Opens the bench of a file that stands alone: unpacks its data and mounts it.

/** A picture as its tags; they are put together when it is shown, as text. */
class Piece {
  constructor(tags) { this.tags = tags; }
  toString() { return this.tags.join("<"); }
}

/** Numbers of texts of digits, as packing.py writes them. */
function numbers(texts) {
  const digit = (code) => code - (code > 92 ? 36 : 35);
  return Array.from(texts[0], (_, at) => texts.reduceRight((all, text) => 91 * all + digit(text.charCodeAt(at)), 0));
}

/** All places of the lists, those too that were told before. */
function places(new_, fresh, copied, back) {
  const all = [];
  let at = 0;
  fresh.forEach((count, turn) => {
    for (const end = at + count; at < end; at++) all.push(new_[at]);
    for (let left = copied[turn]; left > 0; left--) all.push(all[all.length - back[turn]]);
  });
  return all;
}

const OF_FIVE = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

/** The bytes of a text: five signs are four bytes, at its end as many signs less. */
function bytesOf(text) {
  const worth = Object.fromEntries(Array.from(OF_FIVE, (sign, value) => [sign, value]));
  const missing = (5 - (text.length % 5)) % 5;
  const bytes = new DataView(new ArrayBuffer(((text.length + missing) / 5) * 4));
  for (let at = 0; at < text.length; at += 5) {
    let value = 0;
    for (let sign = at; sign < at + 5; sign++) value = 85 * value + worth[text[sign] ?? "~"];
    bytes.setUint32((at / 5) * 4, value);
  }
  return bytes.buffer.slice(0, bytes.byteLength - missing);
}

/** What packing.py packed, from its text. */
async function unpacked(text) {
  const stream = new Blob([bytesOf(text.trim())]).stream().pipeThrough(new DecompressionStream("gzip"));
  const told = JSON.parse(await new Response(stream).text());
  const found = told.scalars;
  const held = places(...["new", "fresh", "copied", "back"].map((name) => numbers(told[name])));
  let at = 0;
  for (const length of numbers(told.lengths)) {
    const values = held.slice(at + 1, at + length).map((place) => found[place]);
    const keys = held[at] ? found[held[at]] : null;
    found.push(keys ? Object.fromEntries(values.map((value, i) => [keys[i], value])) : values);
    at += length;
  }
  return found.at(-1);
}

/** Put the bench of this page on it; where that cannot be, say so and show the paper. */
async function openFile(texts) {
  const root = document.getElementById("bench");
  try {
    const data = await unpacked(document.getElementById("bench-data").textContent);
    for (const [id, tags] of Object.entries(data.pieces)) data.pieces[id] = new Piece(tags);
    mount(root, data);
  } catch (error) {
    console.error(error);
    const said = document.createElement("p");
    said.setAttribute("role", "alert");
    said.textContent = typeof DecompressionStream === "undefined" ? texts.file_old_browser : texts.file_damaged;
    root.replaceChildren(said);
    document.getElementById("paper").hidden = false;
  }
}
