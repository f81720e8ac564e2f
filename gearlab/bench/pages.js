// What a page has of a book, for all views of one panel, and what it asks the kernel for.

const AT_ONCE = 4; // pages asked for ahead in one message

/**
 * What benches that lived before the kernel left on this page: the books of trains, and what was
 * done with a bench, by how it began. A page of a kernel alone has none.
 */
const stored = (globalThis.gearlab_stored ??= { books: new Map(), reading: new Map(), left: new Map() });

/** How a model begins, as text. */
const beginning = (model) =>
  JSON.stringify([model.get("book").train, Object.entries(model.get("state")).sort()]);

/** Go on where a stored bench that began like this one was left. */
function resume(model) {
  const left = stored.left.get(beginning(model));
  if (!left) return;
  stored.left.delete(beginning(model));
  for (const [name, value] of Object.entries(left)) model.set(name, value);
  try {
    model.save_changes();
  } catch {} // without a kernel there is nobody to tell
}

/** The hashes of all pieces of a look. */
const pieces_of = (look) => Object.values(look)
  .flatMap(({ live, kept, key }) => [live, kept, key]).filter(Boolean);

class Pages {
  /** The pages of a model; views of the same model share them. @returns {Pages} */
  static of(model) {
    const { train } = model.get("book");
    const old = Pages.all.get(model);
    if (old?.train !== train) Pages.all.set(model, new Pages(model, train, old));
    return Pages.all.get(model);
  }
  static all = new WeakMap();

  /** Pages of a train; what other teeth left as it was is taken from the old ones. */
  constructor(model, train, old) {
    Object.assign(this, { model, train, asked: new Set(), failed: new Set(), fresh: true });
    for (const what of ["pages", "looks", "pieces"]) this[what] = new Map();
    const { pages, looks, pieces } = stored.books.get(train) ?? {};
    this.take({ pages, looks, pieces });
    this.take(model.get("opening"));
    for (const [key, look] of this.looks) {
      for (const hash of pieces_of(look)) {
        if (!this.pieces.has(hash) && old?.pieces.has(hash)) this.pieces.set(hash, old.pieces.get(hash));
        if (!this.pieces.has(hash)) this.looks.delete(key); // it is asked for
      }
    }
  }

  page(key) { return this.pages.get(key); }
  look(key, view) { return this.looks.get(`${key}|${view}`); }

  /** The largest size of each picture and its key that is known in a view. */
  sizes(view) {
    const key = `${view} ${this.looks.size}`;
    if (this.sized?.key !== key) this.sized = { key, found: this.largest(view) };
    return this.sized.found;
  }

  largest(view) {
    const found = {};
    for (const [key, look] of this.looks) {
      if (!key.endsWith(`|${view}`)) continue;
      for (const [id, picture] of Object.entries(look)) {
        const known = (found[id] ??= { w: 0, h: 0, kw: 0, kh: 0 });
        for (const edge in known) known[edge] = Math.max(known[edge], picture[edge]);
      }
    }
    return found;
  }

  /** The SVG of a piece; an Error if it is not here. */
  piece(hash) {
    if (!this.pieces.has(hash)) throw new Error(`no piece ${hash}`);
    return this.pieces.get(hash);
  }

  /** Put into the book what came; false if it is of another train. */
  take(data) {
    if (data.train !== undefined && data.train !== this.train) return false;
    for (const what of ["pages", "looks", "pieces"]) {
      for (const [key, value] of Object.entries(data[what] ?? {})) this[what].set(key, value);
    }
    if (data.failed) this.failed.add(data.failed);
    for (const key of [data.failed, ...Object.keys(data.looks ?? {})]) this.asked.delete(key);
    return true;
  }

  /** Ask for pages in a view, each once. */
  ask(keys, view) {
    const open = (one) => !this.asked.has(one.join("|")) && !this.failed.has(one.join("|"));
    const wanted = keys.map((key) => [key, view]).filter(open);
    if (this.model.get("book").all || !wanted.length) return;
    if (this.fresh) this.model.send({ hello: 1 });
    this.model.send({ ask: wanted });
    this.fresh = false;
    for (const one of wanted) this.asked.add(one.join("|"));
  }

  /** Ask for some of what may come next, while nothing else is asked for. */
  foresee(keys, view) {
    if (this.asked.size) return;
    const missing = keys.filter((key) => !this.look(key, view));
    const new_ones = missing.filter((key) => !this.failed.has(`${key}|${view}`));
    this.ask(new_ones.slice(0, AT_ONCE), view);
  }
}
