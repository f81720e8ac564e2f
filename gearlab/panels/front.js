// The front end of every panel: keys pressed in it stay in it, and a panel whose kernel
// is gone says so.

// The application's own mark for a place whose keys are no shortcuts.
const MARK = "data-lm-suppress-shortcuts";
// What it still gets: leave, run this cell, save, find, list the commands.
const TEXT = "textarea, input[type=text]";

const LOST =
  '<div class="gl-status gl-fault" role="status">This panel has lost its kernel: choose' +
  " Run → Run All Cells.</div>";

function passes(event) {
  const accel = event.ctrlKey || event.metaKey;
  const { key, shiftKey, altKey } = event;
  if (altKey) return false;
  if (key === "Escape") return true;
  if (key === "Enter") return accel !== shiftKey && !event.target.matches(TEXT);
  const letter = (shiftKey ? "shift " : "") + key.toLowerCase();
  return accel && ["s", "f", "shift c"].includes(letter);
}

// For an application that does not know the mark; controls have had the key by then.
function keep(event) {
  if (!passes(event)) event.stopPropagation();
}

function keepKeys(panel) {
  panel.setAttribute(MARK, "true");
  panel.addEventListener("keydown", keep); // added once, however often it is asked for
}

function letPass(event, panel) {
  if (!passes(event)) return keepKeys(panel);
  panel.removeAttribute(MARK);
  setTimeout(() => panel.setAttribute(MARK, "true"));
}

function render({ model, el }) {
  // The panel is looked for at each event: this is drawn before it is put there.
  const life = new AbortController();
  const on = (type, act) =>
    document.addEventListener(
      type,
      (event) => {
        const panel = el.closest(".gl-panel");
        if (panel?.contains(event.target)) act(event, panel);
      },
      { capture: true, signal: life.signal },
    );
  on("focusin", (event, panel) => keepKeys(panel));
  on("keydown", letPass);

  // The kernel ignores what it is sent; where there is none, it cannot be sent.
  function ask(event) {
    try {
      model.send({});
      el.textContent = "";
    } catch {
      el.innerHTML = LOST;
      if (event) el.scrollIntoView({ block: "nearest" });
    }
  }
  on("click", ask);
  on("change", ask);
  on("keydown", (event) => {
    if (!event.repeat && !event.target.matches(TEXT)) ask(event);
  });
  const watch = () => ask();
  model.on("comm_live_update", watch);
  return () => {
    model.off("comm_live_update", watch);
    life.abort();
  };
}

export default { render };
