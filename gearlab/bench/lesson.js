// A class that is led through a plan: each step is asked, voted on, and revealed. What is
// asked and told stands in the plan that Python makes.

/** A row of a vote: what can be said, how many hands are up for it, and its bar. */
function vote_form({ letter, words }, at, { right, hands, T }) {
  const mine = at === right ? "gl-right" : "";
  const label = escaped(filled(T.hands_for, { name: letter }));
  const said = mine ? ` <b class="gl-tick">✓ ${escaped(T.is_right)}</b>` : "";
  return `
    <div class="gl-sense ${mine}">
      <p><b>${letter}</b> ${escaped(words)}${said}</p>
      <input type="number" min="0" max="999" value="${hands[at] ?? 0}" data-do="hands" aria-label="${label}">
      <span class="gl-tally"><i></i></span>
    </div>`;
}

/** The question of a step with its vote; what is right only once it is revealed. */
function lesson_form(step, T, hands, revealed) {
  const shown = { right: revealed ? step.right : -1, hands, T };
  const head = revealed ? step.why : step.asks;
  const rows = step.choices.map((one, at) => vote_form(one, at, shown)).join("");
  return `<p class="gl-asked">${escaped(head)}</p><div class="gl-votes">${rows}</div>`;
}

/** Where a class is in a plan; a bench has one if its model has a plan. */
class Lesson {
  constructor(bench) { Object.assign(this, { bench, asks: true, due: false }); }

  get steps() { return this.bench.model.get("plan").steps; }
  get walk() { return this.bench.model.get("walk"); }
  get step() { return this.steps[this.walk.step]; }
  get hands() { return this.walk.hands[this.walk.step] ?? []; }
  /** Whether what stands on the bench is what the step is about. */
  get stands() { return [this.step.before, this.step.after].some((one) => this.at(one)); }
  get revealed() { return !this.bench.hidden && this.at(this.step.after); }
  /** Whether the question has the whole board. */
  get fills() { return this.asks && this.bench.view.class && this.stands; }
  /** What changes where things stand. */
  get face() { return `${this.walk.step} ${this.asks} ${this.revealed}`; }
  get progress() {
    return filled(this.bench.T.progress, { at: this.walk.step + 1, of: this.steps.length });
  }

  at(stands) { return this.bench.key() === this.bench.key(stands); }

  /** What may come next, as states. */
  get ahead() {
    const next = this.steps[this.walk.step + 1];
    return [this.step.after, next?.before, next?.after].filter(Boolean);
  }

  go(by) {
    const step = Math.min(Math.max(this.walk.step + by, 0), this.steps.length - 1);
    if (step === this.walk.step) return;
    this.asks = true;
    const stands = { ...this.steps[step].before, turns: [0, 1], shown: "" };
    this.put({ ...this.walk, step }, stands);
  }

  /** Show what is right and let it turn; once shown, go between that and the votes. */
  reveal() {
    const { bench, step } = this;
    if (bench.hidden || !this.stands) {
      this.asks = !step.turns;
      this.due = step.turns;
      this.put(this.walk, { ...step.after, shown: bench.key(step.after) });
    } else {
      this.asks = !this.asks;
      bench.show();
    }
  }

  /** The question, then each picture, and the question again. */
  other() {
    const { bench } = this;
    const ids = bench.view.pictures.filter((id) => bench.seen[id]);
    const next = this.asks ? ids[0] : ids[ids.indexOf(bench.shown[0]) + 1];
    this.asks = !next;
    bench.look({ alone: next ?? bench.view.alone });
  }

  /** Tell step and state together. */
  put(walk, part) {
    const { bench } = this;
    bench.halt();
    bench.say("");
    bench.light("");
    bench.model.set("walk", walk);
    bench.model.set("state", { ...bench.state, predict: true, cover: "", answer: "", ...part });
    bench.show();
    bench.root.focus({ preventScroll: true });
    bench.tell(() => {
      bench.model.send({});
      bench.model.save_changes();
    });
  }

  /** Keep what a class voted. */
  voted(boxes) {
    const whole = ({ value }) => Math.min(Math.max(Math.round(Number(value)) || 0, 0), 999);
    const hands = { ...this.walk.hands, [this.walk.step]: boxes.map(whole) };
    this.bench.model.set("walk", { ...this.walk, hands });
    clearTimeout(this.saving);
    this.saving = setTimeout(() => this.bench.tell(() => this.bench.model.save_changes()), 300);
  }

  /** Once it stands there, it turns by itself. */
  shown() {
    if (!this.due || this.bench.waiting || !this.revealed) return;
    this.due = false;
    this.bench.run();
  }

  /** The largest letters with which the whole question is seen. */
  fit(words) {
    for (let size = 6.4; size >= 4; size -= 0.2) {
      words.style.setProperty("--asked", `${size}cqh`);
      if (words.scrollHeight <= words.clientHeight) return;
    }
  }
}
