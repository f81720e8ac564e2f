// What the site adds to its notebook pages: a stored bench lives before Python is there,
// what a saved notebook shows stands where its panels are gone, and a cell that failed is
// in sight. The pages load this file by its place, and ask what it holds by `get`.

(() => {
  const NAME = "gearlab";
  const BENCH = "application/vnd.gearlab.bench+json";
  const PANEL = "application/vnd.jupyter.widget-view+json";
  const BEHIND = -5; // the rank of a bench: a panel with a kernel comes first
  const LONGEST = 8000; // the place of a bench is held for the kernel's [ms]
  const BENCHES = new URL("../../../benches/", document.currentScript.src);
  const BEGUN = $begun; // {path of a notebook: the mark of the train of its first bench}
  const BOOKS = $books; // the marks of all trains that have a book

  let front; // the front end of benches and its style, once they are asked for
  function bench_front() {
    front ??= new Promise((resolve, reject) => {
      const style = document.createElement("link");
      Object.assign(style, { rel: "stylesheet", href: new URL("bench.css", BENCHES) });
      Object.assign(style, { onload: resolve, onerror: reject });
      document.head.append(style);
    }).then(() => import(new URL("bench.js", BENCHES)));
    return front;
  }

  const book_at = (train) => new URL(`${encodeURIComponent(train)}.book`, BENCHES);

  /** Read the book of the notebook that opens, while the page still loads its own parts. */
  async function read_ahead() {
    const train = BEGUN[new URLSearchParams(location.search).get("path")];
    const { book_of } = await bench_front();
    if (train) await book_of(train, book_at(train));
  }

  /** Keep an output as high as it is until the bench of the kernel stands there. */
  function hold(node) {
    const place = node.closest(".jp-OutputArea")?.parentElement;
    if (!place?.clientHeight) return;
    place.style.minHeight = `${place.clientHeight}px`;
    const free = () => {
      watch.disconnect();
      clearTimeout(timer);
      place.style.minHeight = "";
    };
    const watch = new MutationObserver(() => place.querySelector(".gl-bench .gl-live svg") && free());
    watch.observe(place, { childList: true, subtree: true });
    const timer = setTimeout(free, LONGEST);
  }

  const stored_bench = (Widget) => class extends Widget {
    /** Show the words, then the bench; the words stay where it cannot be. */
    async renderModel({ data }) {
      this.end?.();
      this.end = null;
      const words = document.createElement("pre");
      words.textContent = data["text/plain"] ?? "";
      this.node.replaceChildren(words);
      const begins = data[BENCH];
      if (!BOOKS.includes(begins.train)) return;
      try {
        const { live } = await bench_front();
        this.end = await live(this.node, begins, book_at(begins.train));
        if (this.isDisposed) this.end();
      } catch (error) {
        console.info(`A stored bench stays words: ${error.message}`);
      }
    }
    onBeforeDetach() {
      if (this.end) hold(this.node);
    }
    dispose() {
      this.end?.();
      super.dispose();
    }
  };

  /** Take the panels of a kernel that is gone out of a notebook, so that words stand there. */
  function without_panels({ context }) {
    const clean = !context.model.dirty;
    for (const { outputs } of context.model.cells) {
      for (let at = 0; at < (outputs?.length ?? 0); at++) {
        const { [PANEL]: gone, ...data } = outputs.get(at).toJSON().data ?? {};
        if (gone && Object.keys(data).length) outputs.set(at, { ...outputs.get(at).toJSON(), data });
      }
    }
    if (clean) context.model.dirty = false;
  }

  async function opened(panel, { sessions }) {
    await panel.context.ready;
    const known = [...sessions.running()].some(({ path }) => path === panel.context.path);
    if (!known) without_panels(panel);
  }

  /** Show a cell that failed; running all cells would show the last one, which did nothing. */
  function failed(_, { notebook, cell, success }) {
    const outputs = cell.model.outputs?.toJSON() ?? [];
    if (success || !outputs.some((one) => one.output_type === "error")) return;
    const show = () => {
      notebook.activeCellIndex = notebook.widgets.indexOf(cell);
      notebook.scrollToCell(cell, "start");
    };
    setTimeout(show, 0); // after what runs the cells has gone to the last one
  }

  const plugin = ({ INotebookTracker, NotebookActions }, { IRenderMimeRegistry }, { Widget }) => ({
    id: `${NAME}:stored`,
    autoStart: true,
    requires: [INotebookTracker, IRenderMimeRegistry],
    activate({ serviceManager }, tracker, rendermime) {
      const Stored = stored_bench(Widget);
      const createRenderer = () => new Stored();
      rendermime.addFactory({ safe: true, mimeTypes: [BENCH], createRenderer }, BEHIND);
      NotebookActions.executed.connect(failed);
      tracker.widgetAdded.connect((_, panel) => opened(panel, serviceManager));
    },
  });

  read_ahead().catch(() => {}); // it is said where a bench is shown

  let shared; // what the page has loaded, by name
  const loaded = async (name) => (await Object.values(shared[name])[0].get())();

  async function get() {
    const names = ["@jupyterlab/notebook", "@jupyterlab/rendermime", "@lumino/widgets"];
    const made = plugin(...(await Promise.all(names.map(loaded))));
    return () => ({ __esModule: true, default: made });
  }

  window._JUPYTERLAB = window._JUPYTERLAB ?? {};
  window._JUPYTERLAB[NAME] = { init: (scope) => (shared = scope), get };
})();
