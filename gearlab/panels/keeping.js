// Sheets as files, by a data link and a file chooser, which work even where the browser
// lets a page keep nothing; and whether it does, which only the page can find out.

function made(tag, className = "", text = "") {
  const one = document.createElement(tag);
  one.className = className;
  one.textContent = text;
  return one;
}

// Whether what is written now can be read: storage may be there and forbidden.
function keeps() {
  return new Promise((resolve) => {
    const name = "gearlab-storage";
    try {
      const asked = indexedDB.open(name);
      asked.onerror = asked.onblocked = () => resolve(false);
      asked.onsuccess = () => {
        asked.result.close();
        resolve(true);
      };
    } catch {
      resolve(false);
    }
  });
}

function download({ name, text }) {
  const link = made("a");
  link.href = `data:application/json;charset=utf-8,${encodeURIComponent(text)}`;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
}

function render({ model, el }) {
  const box = made("div", "gl-press");
  const told = made("p");
  const buttons = made("div", "gl-buttons");
  const chooser = Object.assign(made("input"), {
    type: "file",
    accept: ".json,application/json",
    multiple: true,
    hidden: true,
  });
  const fetchIt = made("button", "", "download my sheets");
  const load = made("button", "", "load sheets");
  const status = made("div");
  status.setAttribute("role", "status");
  buttons.append(chooser, fetchIt, load);
  box.append(told, buttons, status);
  fetchIt.onclick = () => model.send({ download: true });
  load.onclick = () => chooser.click();
  chooser.onchange = async () => {
    const texts = await Promise.all([...chooser.files].map((file) => file.text()));
    chooser.value = ""; // so that the same file can be chosen again
    model.send({ load: texts });
  };
  const tell = () => (told.textContent = model.get("told"));
  const say = () => {
    const { words = "", kind = "result" } = model.get("said");
    const line = made("div", `gl-status gl-${kind}`, words);
    status.replaceChildren(...(words ? [line] : []));
  };
  const hear = (message) => message.file && download(message.file);
  model.on("change:told", tell);
  model.on("change:said", say);
  model.on("msg:custom", hear);
  tell();
  say();
  el.append(box);
  keeps().then((storage) => model.send({ storage }));
  return () => {
    model.off("change:told", tell);
    model.off("change:said", say);
    model.off("msg:custom", hear);
  };
}

export default { render };
