// What the start page finds out of its browser, and says: whether the labs can run here,
// whether answers stay, whether a network is needed, and which saved copies are older.

const say = (id, ...parts) => document.getElementById(id).replaceChildren(...parts);
const LACKING = [
  ["WebAssembly", typeof WebAssembly === "object"],
  ["workers", typeof Worker === "function"],
  ["what pages of 2023 are written in", typeof structuredClone === "function"],
].filter(([, there]) => !there);
const STORAGE = "$storage"; // the name under which the notebooks' pages keep files
const OLDER = " (older copy)";

function opened(name, version) {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name, version);
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

function done(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

// Of what a saved copy was made; undefined for one that is none of ours, or broken.
function versionOf({ content }) {
  try {
    const book = typeof content === "string" ? JSON.parse(content) : content;
    return book.metadata.gearlab;
  } catch {
    return undefined;
  }
}

// The saved copies that are of another version than the site's, as {path: file}.
async function olderCopies(base) {
  const files = base.transaction("files").objectStore("files");
  const found = {};
  for (const [path, version] of Object.entries(NOTEBOOKS)) {
    const saved = await done(files.get(path));
    if (saved && versionOf(saved) !== version) found[path] = saved;
  }
  return found;
}

// An older copy stays under another name; then the site's own notebook shows again.
async function setAside(base, copies) {
  const files = base.transaction("files", "readwrite").objectStore("files");
  for (const [path, saved] of Object.entries(copies)) {
    const aside = path.replace(/\.ipynb$/, `${OLDER}.ipynb`);
    const name = aside.split("/").pop();
    await done(files.put({ ...saved, name, path: aside }, aside));
    await done(files.delete(path));
  }
}

async function lookAtCopies() {
  const there = await indexedDB.databases?.();
  if (there && !there.some(({ name }) => name === STORAGE)) return;
  const base = await opened(STORAGE);
  if (!base.objectStoreNames.contains("files")) return base.close();
  const copies = await olderCopies(base);
  const count = Object.keys(copies).length;
  if (!count) return base.close();
  const take = document.createElement("button");
  take.textContent = "take the new ones";
  take.onclick = async () => {
    await setAside(base, copies);
    base.close();
    say("older", "The new notebooks open now; your copies stay beside them.");
  };
  const names = Object.keys(copies).map((path) => path.split("/").pop()).join(", ");
  const what = `You saved ${names} before your instructor changed it. Your answers are kept apart and stay. `;
  say("older", what, take);
}

async function lookAtStorage() {
  try {
    (await opened("gearlab-storage")).close();
  } catch {
    return say("kept", "This browser lets pages keep nothing: download your sheets at the desk before you close a page.");
  }
  if (!navigator.serviceWorker)
    say("kept", "This page came over plain http, so answers stay only until you close the page: download your sheets at the desk before you go, and load them when you come back.");
  await lookAtCopies();
}

// As the notebooks' pages register it, so that there is one and the same.
const WORKER = new URL("service-worker.js?enableCache=false", location.href).href;

async function stayOffline() {
  if (!navigator.serviceWorker) return;
  localStorage.setItem(`${WORKER}-version`, "$version"); // else they would begin anew
  const before = navigator.serviceWorker.controller;
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data.whole) say("offline", "All labs open without a network from now on.");
    else say("offline", notWhole(data.why));
  });
  navigator.serviceWorker.addEventListener(
    "controllerchange",
    () => before && location.reload(),
  );
  const registered = await navigator.serviceWorker.register(WORKER, {
    updateViaCache: "none",
  });
  // A new build takes over once this page stands alone; another may just be closing.
  const ask = () => {
    if (!registered.waiting) return;
    registered.waiting.postMessage("take over");
    registered.active?.postMessage("let go");
  };
  ask();
  setInterval(ask, 1000);
  registered.update().catch(() => {}); // there is no network
  const { active } = await navigator.serviceWorker.ready;
  if (!before) say("offline", FETCHING);
  active.postMessage("fill");
}

const FETCHING =
  "Everything is being fetched, so that the labs open without a network later.";
const notWhole = (why) =>
  `Not everything could be fetched (${why}), so a network is needed; open this page` +
  " again to go on.";

if (LACKING.length)
  say("fault", `The labs cannot run in this browser: it lacks ${LACKING[0][0]}. Take a browser of 2023 or later.`);
lookAtStorage().catch(() => {});
stayOffline().catch((error) => say("offline", notWhole(error.message)));
