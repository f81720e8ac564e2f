// The front end of every panel: keys pressed in it stay in it, and a panel whose kernel
// is gone says so.

const LOST =
  '<div class="gl-status gl-fault" role="status">This panel has lost its kernel: choose' +
  " Run → Run All Cells.</div>";

const CONTROLS = "button, input, select, textarea, label, [role=slider]";

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
  on("keydown", (event, panel) => keepKeys(panel));

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
  // A key that does something clicks or changes a control; only a slider is moved by keys
  // without either. What is typed is asked about once it counts.
  const sliding = ({ target }) => target.matches("[role=slider]");
  on("click", (event) => event.target.closest(CONTROLS) && ask(event));
  on("change", ask);
  on("keydown", (event) => !event.repeat && sliding(event) && ask(event));
  const watch = () => ask();
  model.on("comm_live_update", watch);
  return () => {
    model.off("comm_live_update", watch);
    life.abort();
  };
}

export default { render };
