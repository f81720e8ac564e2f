// A box of fields and buttons. A press sends, in one message, what stands in the fields
// at that moment; until the kernel has answered that very press, "…" stands below.

const PATIENCE = 4000; // ms
const SILENT =
  "No answer from the kernel yet: it is busy, or it was started anew." +
  " If it stays so, choose Run → Run All Cells, and press again.";
const LOST = "Not sent, since the kernel is gone: run all cells, and press again.";
const SHORT = 3; // letters: options that stand side by side

function made(tag, className = "", text = "") {
  const one = document.createElement(tag);
  one.className = className;
  one.textContent = text;
  return one;
}

// A label around its control needs no id, and ids are shared by the whole page.
function labelled(text, control, className) {
  const label = made("label", className);
  label.append(made("span", "", text), control);
  return label;
}

// Each kind of field: its element, and how its value is read and written.

function line(field) {
  const input = made("input");
  Object.assign(input, { type: "text", autocomplete: "off", spellcheck: false });
  const box = made("div", `gl-line ${field.wide ? "gl-wide-line" : ""}`);
  box.append(labelled(field.label, input, "gl-above"));
  if (field.unit) box.append(made("span", "gl-unit", field.unit));
  return {
    box,
    read: () => input.value,
    write: (value) => (input.value = value),
  };
}

function lines(field) {
  const area = made("textarea");
  const count = made("p");
  const box = made("div", "gl-lines");
  const counted = () => {
    count.textContent = `${area.value.length} of ${field.longest} letters`;
  };
  area.addEventListener("input", counted);
  box.append(labelled(field.label, area, "gl-above"), count);
  return {
    box,
    read: () => area.value,
    write: (value) => {
      area.value = value;
      counted();
    },
  };
}

// Controls that belong together, under what they are together.
function group(label, className) {
  const box = made("fieldset");
  const place = made("div", className);
  box.append(made("legend", "", label), place);
  return { box, place };
}

function ticks(field, type) {
  const short = field.options.every((option) => option.length <= SHORT);
  const { box, place } = group(field.label, short ? "gl-short" : "");
  const name = `gl-${crypto.getRandomValues(new Uint32Array(2)).join("-")}`;
  const inputs = field.options.map((option) => {
    const input = Object.assign(made("input"), { type, name, value: option });
    const label = made("label");
    label.append(input, made("span", "", option));
    place.append(label);
    return input;
  });
  const chosen = () => inputs.filter((one) => one.checked).map((one) => one.value);
  const write = (names) => {
    for (const one of inputs) one.checked = names.includes(one.value);
  };
  return { box, chosen, write };
}

function one(field) {
  const { box, chosen, write } = ticks(field, "radio");
  return { box, read: () => chosen()[0] ?? "", write: (name) => write([name]) };
}

function any(field) {
  const { box, chosen, write } = ticks(field, "checkbox");
  return { box, read: chosen, write };
}

function list(field) {
  const select = made("select");
  for (const [shown, value] of field.options) select.add(new Option(shown, value));
  select.setAttribute("aria-label", field.label); // else its options are in its name
  return {
    box: labelled(field.label, select, field.within ? "" : "gl-above"),
    read: () => select.value,
    write: (value) => (select.value = value),
  };
}

const KINDS = { line, lines, one, any, list };

// What stands on the page: neighbours `within` the same are one group.
function boxesOf(asked, fields) {
  const boxes = [];
  let last;
  asked.forEach(({ within }, i) => {
    if (!within || within !== last?.within) {
      last = within ? { within, ...group(within, "gl-places") } : undefined;
      boxes.push((last ?? fields[i]).box);
    }
    last?.place.append(fields[i].box);
  });
  return boxes;
}

// The controls of one view, and what they hold.
function fieldsOf(model, place) {
  let fields = [];
  const values = () => fields.map((field) => field.read());
  const write = () =>
    model.get("values").forEach((value, i) => {
      // What is as it should be is left, and so is the cursor in it.
      const field = fields[i];
      if (field && String(field.read()) !== String(value)) field.write(value);
    });
  const build = () => {
    const asked = model.get("fields");
    fields = asked.map((field) => KINDS[field.kind](field));
    place.replaceChildren(...boxesOf(asked, fields));
    fields.forEach((field, i) => field.write(model.get("values")[i]));
  };
  // Another view of it shows the same, and a page that is drawn anew loses nothing.
  place.addEventListener("input", () => model.set("values", values()));
  place.addEventListener("change", () => {
    model.set("values", values());
    model.save_changes();
  });
  return { values, write, build };
}

// The line below: "…" while a press waits, then what the kernel says to it.
function answersTo(model, status) {
  const view = crypto.getRandomValues(new Uint32Array(2)).join("-");
  let pressed = 0;
  let waiting = 0;
  let answered = 0;
  let timer;
  const show = (words, kind) => {
    status.replaceChildren(...(words ? [made("div", `gl-status gl-${kind}`, words)] : []));
    Object.assign(status.dataset, { pressed, answered });
  };
  const hear = () => {
    const { press = "", words = "", kind = "result" } = model.get("said");
    const [who, number] = press.split(" ");
    const mine = who === view;
    if (mine) answered += 1;
    if (waiting && !(mine && Number(number) === waiting)) return;
    waiting = 0;
    clearTimeout(timer);
    show(words, kind);
  };
  const wait = () => {
    pressed += 1;
    waiting = pressed;
    clearTimeout(timer);
    show("…", "result");
    timer = setTimeout(() => waiting && show(SILENT, "fault"), PATIENCE);
    return `${view} ${pressed}`;
  };
  const fail = () => {
    clearTimeout(timer);
    show(LOST, "fault gl-unsent");
  };
  return { hear, wait, fail };
}

function render({ model, el }) {
  const names = ["press", "ask", "fields", "buttons", "told", "answer", "hints"];
  const [box, ask, place, buttons, told, status, hints] = names.map((name) =>
    made("div", `gl-${name}`),
  );
  ask.append(place, buttons);
  told.append(status, hints);
  box.append(ask, told);
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", model.get("about"));
  told.setAttribute("role", "status");
  told.setAttribute("aria-atomic", "false"); // only what is new is read out
  const fields = fieldsOf(model, place);
  const answers = answersTo(model, status);

  const press = (button) => {
    const values = fields.values();
    model.set("values", values);
    try {
      model.send({ press: answers.wait(), button, values });
    } catch {
      answers.fail(); // there is no kernel to send it to
    }
  };
  const label = () => {
    const wanted = model.get("buttons");
    const there = [...buttons.children];
    // A button that stays keeps the focus.
    while (there.length > wanted.length) there.pop().remove();
    wanted.forEach(([name, text], i) => {
      const button = there[i] ?? buttons.appendChild(made("button"));
      button.textContent = text;
      button.onclick = () => press(name);
    });
  };
  const advise = () => {
    const lines = model.get("hints");
    while (hints.children.length > lines.length) hints.lastChild.remove();
    lines.forEach((words, i) => {
      const line = hints.children[i] ?? hints.appendChild(made("p"));
      if (line.textContent !== words) line.textContent = words;
    });
  };
  place.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.type === "text" && !event.isComposing)
      press(model.get("buttons")[0][0]);
  });

  const heard = {
    "change:fields": fields.build,
    "change:values": fields.write,
    "change:buttons": label,
    "change:said": answers.hear,
    "change:hints": advise,
  };
  for (const [what, act] of Object.entries(heard)) model.on(what, act);
  fields.build();
  label();
  answers.hear();
  advise();
  el.append(box);
  return () => {
    for (const [what, act] of Object.entries(heard)) model.off(what, act);
  };
}

export default { render };
