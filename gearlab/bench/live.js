// A stored bench on a page whose kernel is not there yet; a site's pages load this.

/** A model that leaves what is done with it for the bench of the kernel. */
class Stored extends Loose {
  constructor(data) {
    super(data);
    this.began = beginning(this);
  }
  set(name, value) {
    super.set(name, value);
    stored.left.set(this.began, { state: this.get("state"), view: this.get("view") });
  }
}

/** All pages of a train, from its book at an address; each is fetched once, or tried again. */
export function book_of(train, address) {
  const read = async () => {
    const answer = await fetch(address);
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    const data = await unpacked(await answer.text());
    for (const [id, tags] of Object.entries(data.pieces)) data.pieces[id] = new Piece(tags);
    stored.books.set(train, data);
    return data;
  };
  if (!stored.reading.has(train)) {
    stored.reading.set(train, read());
    stored.reading.get(train).catch(() => stored.reading.delete(train));
  }
  return stored.reading.get(train);
}

/** Put a stored bench into a node once its book is here; the result ends it. */
export async function live(node, { train, state, view }, address) {
  const { book, ...opening } = await book_of(train, address);
  const model = new Stored({ book, opening, state, view, note: { words: "", kind: "" } });
  const root = document.createElement("section");
  node.replaceChildren(root);
  keepKeys(root);
  const bench = put_bench(model, root);
  return () => bench?.life.abort();
}
