// What a bench looks like before anything is shown in it: controls with their names.
// Everything from a book is escaped here.

const SIGNS = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
const escaped = (text) => String(text).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
const all_escaped = (texts) =>
  Object.fromEntries(Object.entries(texts).map(([key, text]) => [key, escaped(text)]));
const filled = (text, values) => text.replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
const each = (list, html) => list.map(html).join("");

/** Controls do what their `data-do` says; see `acts` of a bench. `more` are attributes. */
const button = (act, text, more = "") =>
  `<button type="button" data-do="${act}" ${more}>${text}</button>`;
const tick = (kind, act, text, more = "") =>
  `<label><input type="${kind}" data-do="${act}" ${more}><span>${text}</span></label>`;
const option = (value, text) => `<option value="${escaped(value)}">${escaped(text)}</option>`;
const choice = (act, text, options) =>
  `<label>${text} <select data-do="${act}">${options}</select></label>`;

/** All of a bench; `name` sets its radio buttons apart from those of other benches. */
function bench_form(book, name) {
  const T = all_escaped(book.texts);
  return `
    ${head_form(book, T)}
    <p class="gl-note" role="status" hidden></p>
    <div class="gl-body">
      ${side_form(book, T, name)}
      <div class="gl-stage">
        <div class="gl-bar">${bar_form(book, T)}${view_form(book, T, name)}</div>
        <div class="gl-board" data-rove>
          <div class="gl-words" role="group" aria-label="${T.words}"></div>
          ${each(book.longest, (says) => longest_form(book.name, says))}
          <p class="gl-tag" aria-hidden="true" hidden></p>
        </div>
      </div>
      <div class="gl-teeth" role="group" aria-label="${T.teeth}" hidden>
        ${book.teeth ? teeth_form(book.teeth, T) : ""}
      </div>
    </div>
    ${crank_form(book, T)}
    <div class="gl-class-bar" role="group" aria-label="${T.class_view}">
      ${button("back", T.back)}${button("next", T.next)}${button("reveal", T.reveal)}
      ${button("run", T.turn)}${button("other", T.picture)}${button("leave", T.leave)}
      <p class="gl-progress" role="status"></p>
    </div>`;
}

function head_form(book, T) {
  const range = ({ name }) =>
    button("range", escaped(name), `role="radio" value="${escaped(name)}"`);
  const places = book.positions.map(({ name }) => option(name, name));
  const selector = choice("position", T.selector, option("", book.texts.by_hand) + places.join(""));
  return `
    <header>
      <div class="gl-title"><h3>${escaped(book.name)}</h3>${places.length ? selector : ""}</div>
      <div class="gl-ranges" role="radiogroup" aria-label="${T.range}" data-rove="choose">
        ${each(book.ranges, range)}
      </div>
      <p class="gl-big"></p>
      <div class="gl-counts">
        <p class="gl-count"></p><p class="gl-gives"></p><p class="gl-unseen" role="status"></p>
      </div>
    </header>`;
}

function side_form(book, T, name) {
  const row = (part, inner) =>
    `<div data-of="element:${escaped(part.name)}">${inner}<em></em></div>`;
  const element = (part, index) =>
    row(part, tick("checkbox", "element", escaped(part.name), `value="${index}"`));
  const one_way = (part) => row(part, `<span>${escaped(part.name)}</span>`);
  const load = ({ value, name: text }) =>
    tick("radio", "load", escaped(text), `name="${name}-load" value="${value}"`);
  const one_ways = `<h4>${T.one_ways}</h4>${each(book.one_ways, one_way)}`;
  return `
    <aside>
      <fieldset class="gl-elements" data-rove>
        <legend>${T.elements}</legend>${each(book.elements, element)}
      </fieldset>
      <div class="gl-one-ways">${book.one_ways.length ? one_ways : ""}</div>
      <fieldset class="gl-loads"><legend>${T.load}</legend>${each(book.loads, load)}</fieldset>
      <div class="gl-shift"><h4>${T.changed}</h4><p class="gl-chips"></p></div>
    </aside>`;
}

function bar_form(book, T) {
  const tab = ({ id, name }) => button("picture", escaped(name), `value="${escaped(id)}"`);
  const open = (name, text) => button("open", text, `value="${name}" aria-expanded="false"`);
  const pictures = [...book.pictures, { id: "words", name: book.texts.words }];
  return `
    <div class="gl-tabs" role="toolbar" aria-label="${T.pictures}" data-rove>
      ${each(pictures, tab)}
    </div>
    <div class="gl-tools" role="toolbar" aria-label="${T.view}" data-rove>
      ${open("view", T.view)}${book.teeth ? open("teeth", T.teeth) : ""}
    </div>`;
}

function view_form(book, T, name) {
  const offers = (what, title) => {
    const radio = ({ value, name: text }) => {
      const more = `name="${name}-${what}" data-what="${what}" value="${escaped(value)}"`;
      return tick("radio", "look", escaped(text), more);
    };
    const choices = book.offers[what].filter((one) => one.value !== "class");
    if (choices.length < 2) return "";
    return `<fieldset><legend>${title}</legend>${each(choices, radio)}</fieldset>`;
  };
  const flag = (what, text) => tick("checkbox", "flag", text, `value="${what}"`);
  return `
    <div class="gl-view" hidden>
      ${offers("end", T.seen_from)}${offers("letters", T.letters)}${offers("colours", T.colours)}
      ${book.offers.circulating.length > 1 ? flag("circulating", T.circulating) : ""}
      ${flag("exact", T.exact)}${tick("checkbox", "predict", T.predict)}
      <p>${button("class", T.class_view)} ${button("fill", T.fill_screen)}</p>
    </div>`;
}

function teeth_form(teeth, T) {
  const box = (set, { key, name, min, max, value }) => {
    if (teeth.fixed) return `<p>${escaped(name)} <b>${value}</b></p>`;
    const own = `data-set="${escaped(set)}" data-key="${escaped(key)}"`;
    const label = escaped(`${set} ${name}`);
    const given = `min="${min}" max="${max}" data-do="tooth" aria-label="${label}"`;
    const boxes = `<input type="number" ${own} ${given}><input type="range" ${given}>`;
    return `<div class="gl-tooth"><span>${escaped(name)}</span>${boxes}</div>`;
  };
  const set = ({ name, counts }) => {
    const boxes = each(counts, (one) => box(name, one));
    return `<fieldset><legend>${escaped(name)}</legend>${boxes}</fieldset>`;
  };
  const named = choice("named", T.named_teeth, each(teeth.named, (one) => option(one, one)));
  return `
    ${teeth.fixed ? `<p>${T.teeth_fixed}</p>` : named}
    ${each(teeth.sets, set)}<div class="gl-verdicts" role="status"></div>`;
}

function crank_form(book, T) {
  const by = (quarters, text) => button("by", text, `value="${quarters}"`);
  const bodies = each(book.bodies, ({ body, name }) => option(`body:${body}`, name));
  const limits = 'aria-valuemin="-1000000" aria-valuemax="1000000"';
  return `
    <footer>
      <div class="gl-wheel" role="slider" tabindex="0" aria-label="${T.crank}" ${limits}>
        <svg viewBox="-50 -50 100 100" aria-hidden="true">
          <circle r="46"/><g><path d="M0 0V-34"/><circle cy="-34" r="11"/></g><circle r="6"/>
        </svg>
      </div>
      ${by(-1, T.back_quarter)}${by(1, T.on_quarter)}${by(4, T.on_one)}
      ${button("run", T.turn, 'class="gl-main"')}${button("zero", T.to_zero)}
      <label>${T.turn_to} <input type="number" step="any" data-do="to"></label>
      ${choice("pin", T.light_up, option("", book.texts.nothing) + bodies)}
      <p class="gl-told" role="status"></p>
    </footer>`;
}

/** The words of a range that takes many lines, to be measured. */
function longest_form(title, says) {
  const words = words_form({ title, says: says.map((one) => [[one]]) }, "");
  return `<div class="gl-words gl-longest" aria-hidden="true" hidden>${words}</div>`;
}

/** A picture with its title, to be filled. */
function figure_form(id) {
  const alone = button("alone", "", `class="gl-alone" value="${escaped(id)}"`);
  return `
    <figcaption><b></b>${alone}</figcaption>
    <div class="gl-pic" role="img"><div class="gl-kept"></div><div class="gl-live"></div></div>
    <div class="gl-key"></div>`;
}

// The words ----------------------------------------------------------------------------

/** A page in words; what they name is lit up with it. */
function words_form({ title, says, veiled }, answer) {
  const part = ([text, of]) =>
    of ? `<span data-of="${escaped(of)}">${escaped(text)}</span>` : escaped(text);
  const before = answer ? `<p class="gl-answer" role="status">${escaped(answer)}</p>` : "";
  const lines = each(says, (one) => `<li>${each(one, part)}</li>`);
  const unveil = veiled ? `<p>${button("unveil", escaped(veiled))}</p>` : "";
  return `${before}<h4>${escaped(title)}</h4><ul>${lines}</ul>${unveil}`;
}

/** What came on ("+") or went off ("−"): what is in one list and not in the others. */
function chips(sign, some, others) {
  const look = sign === "+" ? "gl-on" : "gl-off";
  const changed = some.filter((one) => !others.includes(one));
  return each(changed, (one) => `<span class="${look}">${sign} ${escaped(one)}</span>`);
}

/** What comes before an answer that is hidden: a sentence, or a prediction to make. */
function asking_form(texts, cover, judge, name) {
  const T = all_escaped(texts);
  if (cover) {
    const anyway = button("uncover", T.show_anyway);
    return `<h4>${T.answer_hidden}</h4><p>${escaped(cover)}</p>${anyway}`;
  }
  if (!judge) return `<h4>${T.predict_first}</h4>`;
  const sense = ({ value }) => {
    const hands = escaped(filled(texts.hands_for, { name: value }));
    const radio = `name="${name}-sense" value="${escaped(value)}"`;
    return `
      <div class="gl-sense">
        ${tick("radio", "sense", escaped(value), radio)}
        <input type="number" min="0" max="999" value="0" data-do="hands" aria-label="${hands}">
        <span class="gl-tally"><i></i></span>
      </div>`;
  };
  const box = (unit) => `<label><input type="number" min="0" step="any"> ${unit}</label>`;
  return `
    <h4>${T.predict_first}</h4><p>${escaped(judge.asks)}</p>
    <div class="gl-ask">
      <fieldset class="gl-senses">
        <legend>${T.your_prediction}</legend>${each(judge.senses, sense)}
      </fieldset>
      <div>
        <fieldset class="gl-counted" disabled>
          <legend>${T.how_many}</legend>${box(T.turns)}${box(T.degrees)}
        </fieldset>
        <p>${button("say", T.say_it, 'class="gl-main"')} ${button("vote", T.vote)}</p>
      </div>
    </div>`;
}
