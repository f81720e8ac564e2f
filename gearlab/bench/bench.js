// The bench on a page: it swaps pictures, turns them, counts, and lights up what is
// pointed at. All mechanics and all words stand in the book that Python makes.

/**
 * What stands on the bench. `applied` are places in `book.elements`.
 * @typedef {{applied: number[], load: string, range: ?string, position: ?string,
 *   turns: [number, number], predict: boolean, cover: string, shown: string, answer: string, veil: string}} State
 */
/**
 * How it is looked at. `pictures` are ids, in the order in which they are wanted.
 * @typedef {{end: string, letters: string, colours: string, circulating: boolean, exact: boolean,
 *   pictures: string[], alone: string, class: boolean, given: boolean}} View
 */

const VERSION = 1;
const RATE = 0.5; // input turns a second
const IDLE = 40; // after which it is asked for what may come next [ms]
const PAPER = 1280; // the height of a printed page that is 1000 wide, also of the lower of two kinds [px]
const LATE = 1500; // after which it is said that the kernel is busy [ms]
const LEAST = 11; // letters are not drawn smaller [px]
const CLICK = 5; // so near to a whole output turn the crank clicks into place [°]
const READY = 160; // pictures that are kept ready to be shown again
const MOST = exact(1_000_000); // input turns
const MEMORY = "gearlab-bench-view";
const REMEMBERED = ["end", "letters", "colours", "circulating", "exact", "pictures", "class"];
const KEYS = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1, Home: -1000, End: 1000 };
const CRANK = { ArrowRight: [1, 72], ArrowUp: [1, 72], ArrowLeft: [-1, 72], ArrowDown: [-1, 72] };
// In class, also those of a hand-held clicker.
const CLASS = { PageDown: "next", ArrowRight: "next", PageUp: "back", ArrowLeft: "back" };
Object.assign(CLASS, { ".": "reveal", b: "reveal", ArrowDown: "other", t: "run", Escape: "leave" });

const ITEMS = "button:enabled, [type=checkbox]:enabled";
const put = (node, text) => node.textContent !== text && (node.textContent = text);
/** Put a text where its letters get smaller if it is too long for a line. */
const put_line = (node, text) => put(node, text) && node.style.setProperty("--long", text.length);
const split = (of) => [of.slice(0, of.indexOf(":")), of.slice(of.indexOf(":") + 1)];

class Bench {
  constructor(model, root) {
    Object.assign(this, { model, root, figures: new Map(), nodes: new Map(), shown: [] });
    this.lit = this.pinned = "";
    this.name = `gl-${Math.random().toString(36).slice(2)}`;
    this.life = new AbortController();
    this.last = this.now = null; // pages: the one before the last shift, and the present one
    // Where a class is in a plan, if there is one.
    this.lesson = model.get("plan")?.steps ? new Lesson(this) : null;
    this.remember();
    this.build();
    this.listen();
    this.show();
  }

  get book() { return this.model.get("book"); }
  get pages() { return Pages.of(this.model); }
  get T() { return this.book.texts; }
  /** @returns {State} */
  get state() { return this.model.get("state"); }
  /** @returns {View} */
  get view() { return this.model.get("view"); }
  get hand() { return this.view.end === "input" ? 1 : -1; }
  get hidden() {
    const { cover, predict, shown } = this.state;
    return Boolean(cover) || (predict && shown !== this.key());
  }
  /** The page that is shown, if it is here. */
  get page() { return this.pages.page(this.hidden ? "hidden" : this.key()); }
  /** The page that tells the truth, if it is here. */
  get truth() { return this.pages.page(this.key()); }
  /** The plan that a class is led through, if its step stands on the bench. */
  get asked() { return this.lesson?.stands ? this.lesson : null; }
  /** The words on what was predicted here. */
  get answer() { return this.state.shown === this.key() ? this.state.answer : ""; }
  get viewKey() {
    const { end, letters, colours, circulating } = this.view;
    const large = this.view.class && this.offers("letters", "class");
    return [end, large ? "class" : letters, colours, circulating ? 1 : 0].join("/");
  }

  key({ load, applied, range, veil } = this.state) {
    return `${load}:${applied.join(".")}:${range ?? ""}${veil ?? ""}`;
  }

  offers(what, value) { return this.book.offers[what].some((one) => one.value === value); }
  $(selector) { return this.root.querySelector(selector); }
  $$(selector) { return [...this.root.querySelectorAll(selector)]; }

  // The book ---------------------------------------------------------------------------

  /** Ask for pages in the present view. */
  ask(keys) {
    if (keys.length) this.tell(() => this.pages.ask(keys, this.viewKey));
    clearTimeout(this.late);
    this.late = setTimeout(() => this.waiting && this.say(this.T.waiting, "fault"), LATE);
  }

  /** Pages came, or the kernel could not make them. */
  came(data) {
    if (!(data.looks || data.failed) || !this.pages.take(data)) return;
    if (this.waiting || this.hidden) this.show(); // what is hidden waits for what is asked
    this.foresee();
  }

  /** Ask for what may come next, while nothing is pressed. */
  foresee() {
    clearTimeout(this.idle);
    const ask = () => this.gone || this.tell(() => this.pages.foresee(this.neighbours(), this.viewKey));
    this.idle = setTimeout(ask, IDLE);
  }

  neighbours() {
    const { state, book } = this;
    const at = book.ranges.findIndex((range) => range.name === state.range);
    const ranges = [book.ranges[at + 1], book.ranges[at - 1]].filter(Boolean);
    const keys = [
      ...(this.lesson?.ahead ?? []),
      ...book.elements.map((_, index) => ({ ...state, ...this.toggled(index) })),
      ...book.loads.map(({ value }) => ({ ...state, load: value })),
      ...ranges.map(({ applied, name }) => ({ ...state, applied, range: name })),
    ].map((one) => this.key(one));
    return ["hidden", this.key(), ...keys];
  }

  // What a person does -----------------------------------------------------------------

  /** Change the state, show it at once, and tell it. */
  change(part) {
    const state = { ...this.state, ...part };
    if (this.book.all && !this.pages.page(this.key(state))) {
      this.show(); // what was pressed says again what is
      return this.say(this.T.not_in_file, "fault");
    }
    this.halt();
    this.say("");
    this.set("state", state);
  }

  set(name, value) {
    if (JSON.stringify(this.model.get(name)) === JSON.stringify(value)) return this.show();
    this.model.set(name, value); // which shows it
    this.tell(() => {
      this.model.send({}); // it fails where no kernel is, which what follows does not
      this.model.save_changes();
    });
  }

  /** Do what needs the kernel; where there is none, say what does not work. */
  tell(act) {
    try {
      act();
      if (this.gone) this.say("");
      this.gone = false;
    } catch {
      this.gone = true;
      this.say(this.T.gone, "fault");
    }
  }

  look(part) {
    const view = { ...this.view, ...part };
    try {
      const names = REMEMBERED.filter((name) => !(view.given && name === "pictures"));
      const before = JSON.parse(localStorage.getItem(MEMORY)) ?? {};
      const kept = Object.fromEntries(names.map((name) => [name, view[name]]));
      localStorage.setItem(MEMORY, JSON.stringify({ ...before, ...kept }));
    } catch {} // a page without storage remembers nothing
    this.set("view", view);
  }

  /** Take the view that was chosen last, unless the caller chose one. */
  remember() {
    if (this.view.given || Pages.all.has(this.model)) return;
    try {
      const kept = JSON.parse(localStorage.getItem(MEMORY)) ?? {};
      for (const name of ["end", "letters", "colours"]) {
        if (!this.offers(name, kept[name])) delete kept[name];
      }
      const ids = [...this.book.pictures.map((picture) => picture.id), "words"];
      kept.pictures = (kept.pictures ?? []).filter((id) => ids.includes(id));
      if (!kept.pictures.length) delete kept.pictures;
      if (this.lesson) delete kept.class; // that is for a class, whatever came last
      this.model.set("view", { ...this.view, ...kept });
      this.model.save_changes();
    } catch {} // nothing is kept, or it cannot be told
  }

  /** The range that elements make, and a position that allows it; the present if it fits. */
  called(applied, { range, position } = this.state) {
    const same = this.book.ranges.filter((one) => one.applied.join() === applied.join());
    const made = same.find((one) => one.name === range) ?? same[0];
    const allowing = this.book.positions.filter((one) => one.ranges.includes(made?.name));
    const allowed = allowing.find((one) => one.name === position) ?? allowing[0];
    return { applied, range: made?.name ?? null, position: allowed?.name ?? null };
  }

  toggled(index) {
    const rest = this.state.applied.filter((one) => one !== index);
    if (rest.length === this.state.applied.length) rest.push(index);
    return this.called(rest.sort((a, b) => a - b));
  }

  toRange(name, position = this.state.position) {
    const { applied } = this.book.ranges.find((one) => one.name === name);
    this.change(this.called(applied, { range: name, position }));
  }

  toPosition(name) {
    const { ranges } = this.book.positions.find((one) => one.name === name);
    this.toRange(ranges.includes(this.state.range) ? this.state.range : ranges[0], name);
  }

  step(by) {
    const names = this.book.ranges.map((range) => range.name);
    const to = names.includes(this.state.range) ? names.indexOf(this.state.range) + by : 0;
    if (names[to] !== undefined) this.toRange(names[to]);
  }

  /** Judge what is predicted, and show the answer. */
  predicted() {
    const { T, truth } = this;
    const chosen = this.$(".gl-senses :checked");
    if (!truth) return this.say(T.waiting, "fault");
    if (!chosen) return this.say(T.choose_first, "fault");
    const cases = truth.judge.cases[chosen.value];
    const boxes = this.$$(".gl-counted input");
    const [turns, degrees] = boxes.map((box) => typed(box.valueAsNumber || 0));
    const said = plus(turns, times(degrees, exact(1, 360)));
    if (!this.$(".gl-counted").disabled && !said.n) return this.say(T.no_count, "fault");
    const fits = ({ from, to }) =>
      !(from && below(said, exact(...from))) && !(to && below(exact(...to), said));
    const words = typeof cases === "string" ? cases : cases.find(fits).words;
    this.change({ shown: this.key(), answer: filled(words, { said: number(said) }) });
  }

  /** Show the answer; the button is off then, and keys go on to work. */
  reveal() {
    if (!this.hidden) return;
    this.root.focus({ preventScroll: true });
    this.uncover();
  }

  uncover() { this.change({ cover: "", shown: this.key(), answer: "" }); }

  // Turning ----------------------------------------------------------------------------

  /** How far the input is turned, also while it moves. @returns {Exact} */
  get turns() { return this.moved ?? exact(...this.state.turns); }

  /** Whether the crank turns; if not, it is said who fights. */
  get free() {
    if (!this.hidden && this.page?.stuck) this.say(this.page.stuck, "fault");
    return Boolean(this.page) && !this.hidden && !this.page.stuck;
  }

  /** Tell how far the input is turned. */
  turnTo(x) {
    this.moved = null;
    if (below(MOST, exact(size(x.n), x.d))) x = exact(x.n < 0n ? -MOST.n : MOST.n);
    this.set("state", { ...this.state, turns: [Number(x.n), Number(x.d)] });
  }

  turnBy(x) {
    this.halt();
    if (this.free) this.turnTo(plus(this.turns, x));
  }

  /** Follow a hand: to the whole degree, or clicked into place at a whole output turn. */
  follow(turns) {
    this.moved = exact(Math.round(turns * 360), 360);
    if (this.page.ratio) {
      const ratio = exact(...this.page.ratio);
      const mark = times(exact(Math.round(turns / float(ratio))), ratio);
      if (Math.abs(float(mark) - turns) * 360 <= CLICK) this.moved = mark;
    }
    this.turn(float(this.moved));
  }

  /** Turn slowly to the next whole output turn, or input turn, and stop there. */
  run() {
    if (this.moving) return this.halt();
    if (!this.free) return undefined;
    const ratio = exact(...(this.page.ratio ?? [1]));
    const one = exact(size(ratio.n), ratio.d);
    const mark = times(exact(floor(over(this.turns, one)) + 1n), one);
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) return this.turnTo(mark);
    const [start, from] = [performance.now(), float(this.turns)];
    const frame = (now) => {
      const at = from + (RATE * (now - start)) / 1000;
      if (at >= float(mark)) return this.halt(mark);
      this.moved = exact(Math.round(at * 360), 360);
      this.turn(at);
      this.moving = requestAnimationFrame(frame);
    };
    this.moving = requestAnimationFrame(frame);
    for (const one of this.$$("[data-do=run]")) put(one, this.T.stop);
  }

  /** Stop turning, where it is or at a mark. */
  halt(mark = this.moved) {
    if (!this.moving) return;
    cancelAnimationFrame(this.moving);
    this.moving = 0;
    for (const one of this.$$("[data-do=run]")) put(one, this.T.turn);
    if (mark) this.turnTo(mark);
  }

  /** Show the pictures and the count at so many turns. */
  turn(at) {
    this.board.style.setProperty("--turns", at);
    this.$(".gl-wheel g").style.transform = `rotate(${at * 360 * this.hand}deg)`;
    this.count();
  }

  /** Take hold of the wheel, or of the crank in a picture. */
  grabbed(event) {
    const wheel = event.target.closest(".gl-wheel");
    const figure = event.target.closest('[data-of="crank"]') && event.target.closest("figure");
    if (event.button || !(wheel || figure)) return;
    const held = wheel ?? figure.querySelector(".gl-pic");
    const { left, top, width, height } = held.getBoundingClientRect();
    const { centre, w } = wheel ? { centre: [width / 2, height / 2], w: width } : this.seen[figure.dataset.id];
    const [x, y] = centre.map((at) => (at * width) / w);
    event.preventDefault();
    (wheel ?? this.root).focus({ preventScroll: true });
    this.halt();
    if (this.free) this.drag(event, left + x, top + y);
  }

  drag(event, x, y) {
    const { root } = this;
    const angle = ({ clientX, clientY }) => Math.atan2(clientY - y, clientX - x) / (2 * Math.PI);
    let [last, at] = [angle(event), float(this.turns)];
    const let_go = new AbortController();
    const move = (one) => {
      const by = angle(one) - last;
      last += by;
      at += this.hand * (by - Math.round(by)); // the shorter way round
      this.follow(at);
    };
    const end = () => {
      let_go.abort();
      root.classList.remove("gl-dragging");
      this.turnTo(this.turns);
    };
    root.setPointerCapture(event.pointerId);
    root.classList.add("gl-dragging");
    root.addEventListener("pointermove", move, { signal: let_go.signal });
    root.addEventListener("lostpointercapture", end, { signal: let_go.signal });
  }

  build() {
    this.root.className = "gl-bench";
    this.root.tabIndex = -1; // keys stay here after a click on what takes none
    this.root.setAttribute("role", "group");
    this.root.setAttribute("aria-label", filled(this.T.bench_of, { name: this.book.name }));
    this.root.innerHTML = bench_form(this.book, this.name);
    [this.board, this.words] = [this.$(".gl-board"), this.$(".gl-words")];
    this.figures.clear();
    this.made = this.structure;
    for (const group of this.$$("[data-rove]")) this.stop(group);
  }

  /** What the page is built for; other teeth change nothing of it. */
  get structure() {
    const { name, elements, one_ways, ranges, positions, bodies, texts } = this.book;
    return JSON.stringify([name, elements, one_ways, ranges, positions, bodies, texts]);
  }

  // Listening --------------------------------------------------------------------------

  listen() {
    const { root, model } = this;
    const { signal } = this.life;
    const on = (node, types, act) => {
      for (const type of types.split(" ")) node.addEventListener(type, act, { signal });
    };
    const of = ({ target }) => target.closest("[data-of]")?.dataset.of ?? "";
    on(root, "click change input", (event) => this.pressed(event));
    on(root, "pointerdown", (event) => this.grabbed(event));
    on(root, "pointerover", (event) => this.rests(event) || this.light(of(event)));
    on(root, "pointermove", (event) => (this.rests(event), this.lit && this.tag(event)));
    on(root, "pointerleave", () => this.light(""));
    on(root, "keydown", (event) => this.keyed(event));
    on(root, "focusin", ({ target }) => this.stop(target.closest("[data-rove]"), target));
    on(root, "fullscreenchange", () => this.fit());
    on(document, "pointerdown", ({ target }) => {
      if (this.open === "view" && !this.$(".gl-bar").contains(target)) this.unfold("view");
    });
    on(window, "resize", () => this.fit());
    on(window, "beforeprint afterprint", ({ type }) => {
      root.classList.toggle("gl-print", type === "beforeprint");
      this.fit();
    });
    const watch = new ResizeObserver(() => this.fit());
    for (const node of [root, this.board]) watch.observe(node);
    const book = () => {
      this.halt();
      if (this.structure !== this.made) this.build();
      this.show();
    };
    const events = {
      "change:state": () => this.show(),
      "change:view": () => (this.show(), this.fit()),
      "change:book": book,
      "change:walk": () => this.show(),
      "change:note": () => this.say(model.get("note").words, model.get("note").kind),
      "msg:custom": (data) => this.came(data),
    };
    for (const [name, act] of Object.entries(events)) model.on(name, act);
    signal.addEventListener("abort", () => {
      for (const [name, act] of Object.entries(events)) model.off(name, act);
      for (const timer of [this.idle, this.late, this.sending]) clearTimeout(timer);
      cancelAnimationFrame(this.moving);
      watch.disconnect();
    });
  }

  acts = {
    range: ({ value }) => this.toRange(value),
    position: ({ value }) => (value ? this.toPosition(value) : this.show()),
    element: ({ value }) => this.change(this.toggled(Number(value))),
    load: ({ value }) => this.change({ load: value }),
    look: ({ value, dataset }) => this.look({ [dataset.what]: value }),
    flag: ({ value, checked }) => this.look({ [value]: checked }),
    predict: ({ checked }) => this.change({ predict: checked, shown: "", answer: "" }),
    picture: ({ value }) => this.toPicture(value),
    alone: ({ value }) => this.look({ alone: this.view.alone ? "" : value }),
    unveil: () => this.change({ veil: "", shown: "", answer: "" }),
    open: ({ value }) => this.unfold(value),
    class: () => this.toClass(),
    fill: () => this.fill(),
    by: ({ value }) => this.turnBy(exact(Number(value), 4)),
    to: ({ valueAsNumber }) => (this.halt(), this.free && this.turnTo(typed(valueAsNumber || 0))),
    zero: () => (this.halt(), this.turnTo(exact(0))),
    run: () => this.run(),
    pin: ({ value }) => this.pin(value),
    say: () => this.predicted(),
    sense: () => this.countable(),
    vote: () => ((this.voting = !this.voting), this.show()),
    hands: () => this.tally(true),
    uncover: () => this.uncover(),
    named: ({ value }) => this.tell(() => this.model.send({ named: value })),
    tooth: (box) => this.toTeeth(box),
    next: () => (this.lesson ? this.lesson.go(1) : this.step(1)),
    back: () => (this.lesson ? this.lesson.go(-1) : this.step(-1)),
    reveal: () => (this.lesson ? this.lesson.reveal() : this.reveal()),
    other: () => (this.lesson ? this.lesson.other() : this.toOther()),
    leave: () => this.leave(),
  };

  /** A control counts when it is clicked or changed; a few while they are moved. */
  pressed({ type, target }) {
    const control = target.closest("[data-do]");
    const act = control?.dataset.do;
    const moved = ["tooth", "hands"].includes(act) ? "input" : "change";
    if (act && type === (control.matches("button") ? "click" : moved)) this.acts[act](control);
    const of = target.closest("[data-of]")?.dataset.of;
    if (act || type !== "click" || !of || !this.board.contains(target)) return;
    const [kind, name] = split(of);
    const index = this.book.elements.findIndex((one) => one.name === name);
    if (kind === "element" && index >= 0) this.change(this.toggled(index));
    if (kind === "range") this.toRange(name);
    if (kind === "body") this.pin(this.pinned === of ? "" : of);
  }

  keyed(event) {
    const { key, target } = event;
    const done = (act) => (event.preventDefault(), event.stopPropagation(), act());
    if (target.matches(".gl-wheel")) {
      if (key in CRANK) return done(() => this.turnBy(exact(...CRANK[key])));
      if (key === "Home") return done(() => this.acts.zero());
      if (key === "Enter" || key === " ") return done(() => this.run());
    }
    if (key === "Escape" && this.moving) return done(() => this.halt());
    if (key === "Escape" && this.open) return done(() => this.unfold(this.open));
    if (key === "Enter" && target.dataset.do === "hands") return done(() => this.toHands(target));
    const types = target.matches("input") && !key.startsWith("Page") && key !== "Escape";
    if (this.view.class && key in CLASS && !types) {
      return done(() => this.acts[CLASS[key]]());
    }
    const group = target.closest("[data-rove]");
    const items = group ? this.items(group) : [];
    const to = items[Math.min(Math.max(items.indexOf(target) + KEYS[key], 0), items.length - 1)];
    if (!items.includes(target) || !to) return undefined;
    return done(() => (to.focus(), group.dataset.rove && to !== target && to.click()));
  }

  /** The items of a group that is one stop of the Tab key; arrow keys go through it. */
  items(group) {
    const stays = (one) => !this.words.contains(one) && !one.closest("[hidden]");
    return [...group.querySelectorAll(ITEMS)].filter(stays);
  }

  stop(group, item = null) {
    const items = group ? this.items(group) : [];
    const at = item ? items.indexOf(item) : 0;
    if (items[at]) items.forEach((one, index) => (one.tabIndex = index === at ? 0 : -1));
  }

  unfold(name) {
    this.open = this.open === name ? "" : name;
    for (const drawer of ["view", "teeth"]) {
      this.$(`.gl-${drawer}`).hidden = this.open !== drawer;
      const opener = this.$(`[data-do=open][value=${drawer}]`);
      opener?.setAttribute("aria-expanded", String(this.open === drawer));
    }
    this.fit();
  }

  async fill() {
    const filled = document.fullscreenElement === this.root;
    try {
      await (filled ? document.exitFullscreen() : this.root.requestFullscreen());
      if (this.view.class) this.root.focus(); // so that a clicker works at once
    } catch {
      this.say(this.T.no_full_screen, "fault");
    }
  }

  /** Count, range and one picture, for the back row. */
  toClass() {
    this.unfold(this.open);
    this.look({ class: true });
    this.$("[data-do=next]").focus();
  }

  /** The next of the pictures, in class. */
  toOther() {
    const { pictures } = this.view;
    const ids = pictures.filter((id) => id !== "words");
    this.look({ alone: ids[(ids.indexOf(this.shown[0]) + 1) % ids.length] });
  }

  leave() {
    if (document.fullscreenElement === this.root) document.exitFullscreen();
    this.look({ class: false, alone: "" });
  }

  /** Show a picture before all others, or take away one that is seen. */
  toPicture(id) {
    const { pictures } = this.view;
    const rest = pictures.filter((one) => one !== id);
    const seen = id === "words" ? !this.words.hidden : this.shown.includes(id);
    const wanted = pictures.includes(id) && seen ? rest : [id, ...rest];
    this.look({ alone: "", pictures: wanted.length ? wanted : pictures });
  }

  /** Send all counts of the drawer, soon. */
  toTeeth(changed) {
    for (const twin of changed.parentNode.querySelectorAll("input")) twin.value = changed.value;
    const teeth = {};
    for (const { dataset, value } of this.$$("[data-key]")) {
      (teeth[dataset.set] ??= {})[dataset.key] = value;
    }
    clearTimeout(this.sending);
    this.sending = setTimeout(() => this.tell(() => this.model.send({ teeth })), 30);
  }

  countable() {
    const chosen = this.$(".gl-senses :checked");
    const sense = this.truth.judge.senses.find((one) => one.value === chosen?.value);
    this.$(".gl-counted").disabled = !sense?.counted;
  }

  /** The votes of the class as bars; in a plan, new ones are kept. */
  tally(voted = false) {
    const hands = this.$$("[data-do=hands]");
    if (voted) this.lesson?.voted(hands);
    const most = Math.max(1, ...hands.map((box) => Number(box.value)));
    for (const box of hands) {
      box.nextElementSibling.firstChild.style.width = `${(100 * box.value) / most}%`;
    }
  }

  /** From the hands for one answer to those for the next, and then to reveal. */
  toHands(box) {
    const hands = this.$$("[data-do=hands]");
    const next = hands[hands.indexOf(box) + 1];
    if (next) next.select();
    (next ?? this.$("[data-do=reveal]")).focus();
  }

  // Showing ----------------------------------------------------------------------------

  say(words, kind = "result") {
    const note = this.$(".gl-note");
    put(note, words);
    note.dataset.kind = kind;
    if (note.hidden !== !words) this.fit((note.hidden = !words));
  }

  show() {
    try {
      this.showAll();
    } catch (error) {
      console.error(error);
      this.say(this.T.damaged, "fault");
    }
  }

  /** Show the state: the controls at once, the rest as soon as it is here. */
  showAll() {
    const { hidden, page, state } = this;
    const at = hidden ? "hidden" : this.key();
    const look = this.pages.look(at, this.viewKey);
    this.waiting = !page || !look;
    this.root.classList.toggle("gl-waiting", this.waiting);
    this.controls(hidden ? null : page);
    this.ask([...(this.waiting ? [at] : []), ...(hidden && !this.truth ? [this.key()] : [])]);
    this.foresee();
    if (this.waiting) return;
    if (this.$(".gl-note").textContent === this.T.waiting) this.say("");
    if (!hidden && page !== this.now) [this.last, this.now] = [this.now, page];
    [this.seen, this.moved] = [look, null];
    this.narrate(page);
    this.turn(float(this.turns));
    this.sizes = this.pages.sizes(this.viewKey);
    const said = [hidden && this.asking, this.answer, Object.keys(look), this.lesson?.face];
    const room = JSON.stringify([said, this.sizes]);
    if (room !== this.room) this.fit((this.room = room));
    else for (const id of this.shown) this.paint(id);
    this.relight();
    this.lesson?.shown();
  }

  controls(page) {
    const { T, state, view, book } = this;
    const fights = page?.fights ?? [];
    for (const item of this.$(".gl-ranges").children) {
      const on = item.value === state.range;
      item.setAttribute("aria-checked", String(on));
      if (on) this.stop(item.parentNode, item);
    }
    if (book.positions.length) this.$("[data-do=position]").value = state.position ?? "";
    put_line(this.$(".gl-big"), this.asked?.step.name ?? state.range ?? T.by_hand);
    for (const row of this.$$("aside [data-of]")) {
      const name = split(row.dataset.of)[1];
      const index = book.one_ways.findIndex((one) => one.name === name);
      row.classList.toggle("gl-fights", fights.includes(name));
      const does = page ? page.one_ways[index]?.filter(Boolean).join(" ") : "?";
      put(row.lastChild, index < 0 ? (fights.includes(name) ? T.fights : "") : does);
    }
    for (const box of this.$$("[data-do=element]")) {
      box.checked = state.applied.includes(Number(box.value));
    }
    for (const box of this.$$("[data-do=load]")) box.checked = box.value === state.load;
    for (const box of this.$$("[data-do=look]")) box.checked = view[box.dataset.what] === box.value;
    for (const box of this.$$("[data-do=flag]")) box.checked = view[box.value];
    this.$("[data-do=predict]").checked = state.predict;
    const reveal = this.$("[data-do=reveal]");
    reveal.disabled = !this.hidden && !this.lesson;
    put(reveal, this.lesson?.revealed ? T.votes : T.reveal);
    if (this.lesson) put(this.$(".gl-progress"), this.lesson.progress);
    if (book.teeth) this.teeth(book.teeth);
  }

  /** Show the teeth of the book; what is being typed stays. */
  teeth({ sets, chosen, verdicts }) {
    for (const { name, counts } of sets) {
      for (const { key, value } of counts) {
        const box = this.$(`[data-set="${CSS.escape(name)}"][data-key="${CSS.escape(key)}"]`);
        if (!box || box.parentNode.contains(document.activeElement)) continue;
        box.value = box.nextElementSibling.value = value;
      }
    }
    if (this.$("[data-do=named]")) this.$("[data-do=named]").value = chosen;
    const words = each(verdicts, (one) => `<p>${escaped(one)}</p>`);
    if (this.verdicts !== words) this.$(".gl-verdicts").innerHTML = this.verdicts = words;
  }

  narrate(page) {
    const { T, state, view, hidden, book, asked } = this;
    const end = book.offers.end.find((one) => one.value === view.end)?.name ?? view.end;
    const load = book.loads.find((one) => one.value === state.load).name;
    const gives = hidden ? [] : [view.exact ? page.gives_exact : page.gives];
    const given = [...gives, load, filled(T.seen, { end })].join(" · ");
    put_line(this.$(".gl-gives"), asked?.revealed ? asked.step.told : given);
    const told = !hidden && this.last;
    const shift = told ? chips("−", this.last.on, page.on) + chips("+", page.on, this.last.on) : "";
    this.$(".gl-chips").innerHTML = shift;
    this.$(".gl-shift").classList.toggle("gl-empty", !shift);
    const voting = asked && (hidden || asked.asks);
    this.words.classList.toggle("gl-voting", voting || (hidden && Boolean(view.class || this.voting)));
    // What is chosen and typed for a prediction stays.
    let asking = hidden ? JSON.stringify([state.cover, this.key(), Boolean(this.truth)]) : "";
    if (voting) asking = `${asked.walk.step} ${asked.revealed}`;
    if (asking && asking === this.asking) return;
    this.asking = asking;
    const held = this.words.contains(document.activeElement);
    this.words.innerHTML = voting
      ? lesson_form(asked.step, T, asked.hands, asked.revealed)
      : hidden
        ? asking_form(T, state.cover, this.truth?.judge, this.name)
        : words_form(page, this.answer);
    if (voting) this.tally();
    if (held) this.root.focus({ preventScroll: true }); // keys go on to work
  }

  /** How far input and output have turned. */
  count() {
    const { T, page, view, turns } = this;
    const written = (x) => turned(x, T) + (view.exact && x.d !== 1n ? ` (${fraction(x)})` : "");
    const rate = page.rates?.[this.book.output];
    const output = rate ? written(times(turns, exact(...rate))) : T.not_determined;
    let text = filled(T.count, { input: written(turns), output });
    if (this.hidden) text = T.not_told;
    else if (page.stuck) text = T.tied_up;
    put_line(this.$(".gl-count"), text);
    if (this.moving || this.root.classList.contains("gl-dragging")) return;
    const wheel = this.$(".gl-wheel");
    const box = this.$("[data-do=to]");
    put(this.$(".gl-unseen"), text);
    wheel.setAttribute("aria-valuenow", float(turns).toFixed(3));
    wheel.setAttribute("aria-valuetext", text);
    if (box !== document.activeElement) box.value = Number(float(turns).toFixed(4));
  }

  figure(id) {
    if (!this.figures.has(id)) {
      const node = document.createElement("figure");
      node.dataset.id = id;
      node.innerHTML = figure_form(id);
      this.board.insertBefore(node, this.words);
      this.figures.set(id, { node, hashes: {} });
      this.stop(this.board);
    }
    return this.figures.get(id);
  }

  /** Put the pieces of a picture where they are not yet. */
  paint(id) {
    const [picture, { node, hashes }] = [this.seen[id], this.figure(id)];
    const alone = node.querySelector("button");
    put(node.querySelector("b"), picture.title);
    node.querySelector(".gl-pic").setAttribute("aria-label", picture.alt);
    put(alone, this.view.alone ? this.T.all_pictures : this.T.alone);
    alone.setAttribute("aria-label", `${alone.textContent}: ${picture.title}`);
    for (const layer of ["kept", "live", "key"]) {
      const hash = layer === "key" && !this.keys ? null : picture[layer];
      if (hashes[layer] === hash) continue;
      hashes[layer] = hash;
      node.querySelector(`.gl-${layer}`).replaceChildren(...(hash ? [this.piece(hash)] : []));
    }
    for (const [layer, wide] of [["pic", picture.w], ["key", picture.kw]]) {
      node.querySelector(`.gl-${layer}`).style.width = `${wide * this.places[id].scale}px`;
    }
    for (const [part, rate] of Object.entries(picture.rates)) {
      const turning = node.querySelectorAll(`.gl-kept .gl-${CSS.escape(part)}`);
      for (const one of turning) one.style.setProperty("--rate", rate);
    }
  }

  piece(hash) {
    const ready = this.nodes.get(hash);
    if (ready && !ready.isConnected) return ready;
    const template = document.createElement("template");
    template.innerHTML = this.pages.piece(hash);
    const made = template.content.firstElementChild;
    if (this.nodes.size >= READY) this.nodes.delete(this.nodes.keys().next().value);
    if (!ready) this.nodes.set(hash, made);
    return made;
  }

  // Lighting up ------------------------------------------------------------------------

  pin(of) {
    this.pinned = of;
    const pins = this.$("[data-do=pin]");
    pins.value = of;
    if (pins.selectedIndex < 0) pins.value = "";
    this.light(of);
  }

  /** Light up what is pointed at, everywhere, and say its name and speed. */
  light(of) {
    const lit = !of || of.startsWith("range:") || of === "crank" ? this.pinned : of;
    if (lit !== this.lit) this.relight((this.lit = lit));
  }

  /** Whether the pointer lies where it lay, as when another picture comes under it. */
  rests({ screenX, screenY }) {
    const [at, before] = [`${screenX} ${screenY}`, this.pointer];
    this.pointer = at;
    return at === before;
  }

  relight() {
    const { lit, page, book } = this;
    const told = this.$(".gl-told");
    const [kind, name] = split(lit);
    const all = this.$$("[data-of]");
    for (const node of all) node.classList.toggle("gl-lit", lit !== "" && node.dataset.of === lit);
    for (const node of all) {
      const stays = kind !== "body" || node.closest(".gl-lit") || node.querySelector(".gl-lit");
      node.classList.toggle("gl-dim", !stays && Boolean(node.closest(".gl-pic")));
    }
    const what = [...book.elements, ...book.one_ways].find((one) => one.name === name)?.what ?? "";
    put(told, kind === "body" ? (page?.bodies?.[name] ?? name) : what);
    this.$(".gl-tag").hidden = true;
  }

  /** Keep the name of what is lit beside the pointer. */
  tag({ clientX, clientY }) {
    const tag = this.$(".gl-tag");
    const { left, top, width, height } = this.board.getBoundingClientRect();
    const [x, y] = [clientX - left + 14, clientY - top + 18];
    put(tag, this.$(".gl-told").textContent);
    tag.hidden = !tag.textContent || y < 0 || x < 0;
    tag.style.left = `${Math.max(0, Math.min(x, width - tag.offsetWidth))}px`;
    const above = y + tag.offsetHeight > height ? tag.offsetHeight + 26 : 0;
    tag.style.top = `${Math.max(0, y - above)}px`;
  }

  // Room -------------------------------------------------------------------------------

  /** The height that can be seen at once: that of the window, or of what scrolls. */
  get sight() {
    if (this.root.classList.contains("gl-print")) return PAPER;
    let high = innerHeight;
    if (document.fullscreenElement === this.root) return high;
    let node = this.root.parentElement;
    for (; node && node !== document.body; node = node.parentElement) {
      const scrolls = /auto|scroll/.test(getComputedStyle(node).overflowY);
      if (scrolls) high = Math.min(innerHeight, node.clientHeight - 24);
    }
    return Math.max(480, high);
  }

  /** Place pictures and words: as many as fit with letters that can be read. */
  fit() {
    const { root, view, board, words } = this;
    if (!this.seen || !root.isConnected) return;
    const narrow = root.clientWidth < 760 && !view.class;
    root.classList.toggle("gl-narrow", narrow);
    root.classList.toggle("gl-class", view.class);
    root.classList.toggle("gl-walking", Boolean(this.lesson));
    root.classList.toggle("gl-large", view.letters !== "screen");
    root.style.height = narrow ? "" : `${this.sight}px`;
    root.classList.toggle("gl-tall", !narrow && this.sight > root.clientWidth);
    const found = board.clientWidth > 0 && this.found(narrow);
    if (!found) return;
    [this.shown, this.keys, this.places] = [found.ids, found.keys, found.places];
    board.style.height = narrow ? `${found.y}px` : "";
    const put_at = ({ style }, { x, y, w, h }) => {
      [style.left, style.top, style.width, style.height] = [x, y, w, h].map((at) => `${at}px`);
    };
    for (const id of this.shown) {
      this.paint(id);
      put_at(this.figure(id).node, found.places[id]);
    }
    for (const [id, { node }] of this.figures) {
      node.hidden = !this.shown.includes(id);
      if (node.hidden) node.querySelector("button").tabIndex = -1;
    }
    const items = this.items(board);
    this.stop(board, items.find((one) => one.tabIndex === 0) ?? items[0]);
    words.hidden = !found.words;
    if (found.words) put_at(words, found.words);
    if (this.lesson?.fills) this.lesson.fit(words);
    for (const tab of this.$$("[data-do=picture]")) {
      const seen = tab.value === "words" ? !words.hidden : this.shown.includes(tab.value);
      tab.setAttribute("aria-pressed", String(seen));
      tab.classList.toggle("gl-wanted", !seen && view.pictures.includes(tab.value));
    }
  }

  /** The fewest things left out: first the keys go, then the words, then pictures. */
  found(narrow) {
    const { view, seen, hidden, lesson } = this;
    const { clientWidth: width, clientHeight: height } = this.board;
    const board = { x: 0, y: 0, w: width, h: height };
    if (lesson?.fills) return { ids: [], places: {}, keys: false, words: board };
    const column = view.class ? 0.42 * width : Math.max(260, Math.min(0.22 * width, 380));
    const wanted = view.pictures.filter((id) => seen[id]);
    const some = wanted.length ? wanted : Object.keys(seen).slice(0, 1);
    const all = seen[view.alone] ? [view.alone] : some;
    const most = view.class ? Infinity : view.alone ? 2 : 1.5;
    // An answer that was just said must be seen, how to end a riddle, and words that were pressed last.
    const asks = hidden && !(lesson && view.class);
    const must = asks || this.answer !== "" || Boolean(this.state.veil) || view.pictures[0] === "words";
    const told = !view.class && view.pictures.includes("words");
    const order = this.book.pictures.map((picture) => picture.id);
    const known = new Map(); // how high the words are by their width
    let found = null;
    for (let count = view.class ? 1 : all.length; count; count--) {
      const ids = all.slice(0, count).sort((a, b) => order.indexOf(a) - order.indexOf(b));
      for (const [keyed, words] of [[!view.class, told || must], [false, told || must], [false, must]]) {
        const high = words ? (wide) => this.wordsHigh(wide, known) : null;
        const tiles = ids.map((id) => tile(id, this.sizes[id], keyed));
        const room = { width, height, high, most, column };
        const fits = narrow ? stacked(tiles, width, high) : arranged(tiles, room);
        found = fits && { ...fits, ids, keys: keyed };
        if (found && (narrow || found.scale * seen[ids[0]].font >= LEAST)) return found;
      }
    }
    return found ?? { ids: [], places: {}, keys: false, words: board };
  }

  /** How high the words are; where a range takes the most, so that nothing moves. */
  wordsHigh(width, known) {
    const wide = Math.floor(width / 8) * 8; // few widths are enough, and measuring takes time
    if (!known.has(wide)) {
      const longest = !this.hidden && !this.answer;
      const measured = longest ? this.$$(".gl-longest") : [this.words];
      for (const one of measured) {
        one.hidden = false;
        Object.assign(one.style, { width: `${wide}px`, height: "auto" });
      }
      known.set(wide, Math.max(...measured.map((one) => one.scrollHeight)) + 2);
      if (longest) for (const one of measured) one.hidden = true;
    }
    return known.get(wide);
  }
}

/** For a page without a kernel: a model that keeps what it is told. */
class Loose {
  constructor(data) { Object.assign(this, { data, heard: {} }); }
  get(name) { return this.data[name]; }
  set(name, value) {
    this.data[name] = value;
    this.heard[`change:${name}`]?.();
  }
  on(name, act) { this.heard[name] = act; }
  off(name) { delete this.heard[name]; }
  save_changes() {}
  send() {}
}

/** Put a bench on a page, or say that its book is of another version. */
function put_bench(model, root) {
  if (model.get("book").version === VERSION) return new Bench(model, root);
  root.textContent = model.get("book").texts?.other_version ?? `? ${model.get("book").version}`;
  return null;
}

/** A bench with all its pages, for a file that is mailed. */
export function mount(root, { book, pages, looks, pieces, state, view, plan, walk }) {
  const opening = { pages, looks, pieces };
  const note = { words: "", kind: "" };
  return put_bench(new Loose({ book, opening, state, view, plan, walk, note }), root);
}

function render({ model, el }) {
  resume(model);
  const root = document.createElement("section");
  el.append(root);
  keepKeys(root);
  const bench = put_bench(model, root);
  return () => bench?.life.abort();
}

export default { render };
