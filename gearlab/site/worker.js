// The service worker of the site: after the first visit every file of the build is here,
// so that a notebook that was never opened opens without a network. What is asked of the
// drive goes to the worker of the builder, which is loaded at the end.
//
// BUILD and FILES stand above: the name of this build, and {path: its content's digest}.

const HERE = new URL("./", self.location).href;
const PREFIX = "gearlab-";
const NAME = PREFIX + BUILD;
const WHOLE = `${HERE}.whole`; // is there once every file is
const AT_ONCE = 8; // files that are fetched side by side
const QUIET = 1500; // so long nothing was asked before more is fetched [ms]
const PAUSE = 200; // between two looks whether it is quiet [ms]
const pause = (time) => new Promise((done) => setTimeout(done, time));
let asked = 0; // when a page last asked for a file

// What an older build has of the same content is taken over and not fetched again.
async function takenOver(path, digest) {
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX) || name === NAME) continue;
    const cache = await caches.open(name);
    const found = await cache.match(HERE + path);
    if (found?.headers.get("x-digest") === digest) return found;
  }
  return undefined;
}

// What the browser has of an earlier build may be stale, so the server is asked.
const fresh = (path) => fetch(HERE + path, { cache: "no-cache" });

async function fetched(path, digest) {
  const answer = await fresh(path);
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return marked(answer, digest);
}

// The digest goes with the file, so that the next build knows what it need not fetch.
async function marked(answer, digest) {
  const headers = new Headers(answer.headers);
  headers.set("x-digest", digest);
  headers.delete("content-encoding");
  headers.delete("content-length");
  return new Response(await answer.blob(), { status: 200, headers });
}

async function fill() {
  const cache = await caches.open(NAME);
  if (await cache.match(WHOLE)) return;
  const left = Object.entries(FILES);
  const some = async () => {
    for (let next = left.pop(); next; next = left.pop()) {
      const [path, digest] = next;
      await quiet();
      if (await cache.match(HERE + path)) continue; // a page asked for it, or an earlier try
      const found = (await takenOver(path, digest)) ?? (await fetched(path, digest));
      await cache.put(HERE + path, found);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, some));
  await cache.put(WHOLE, new Response("whole"));
}

// A page that opens comes first.
async function quiet() {
  while (Date.now() - asked < QUIET) await pause(PAUSE);
}

async function clear() {
  for (const name of await caches.keys())
    if (name.startsWith(PREFIX) && name !== NAME) await caches.delete(name);
}

// The file of the build that an address means: its query is for the page alone.
function fileOf(request) {
  const url = new URL(request.url);
  const address = url.origin + url.pathname;
  if (request.method !== "GET" || !address.startsWith(HERE)) return undefined;
  const path = decodeURIComponent(address.slice(HERE.length));
  const file = path === "" || path.endsWith("/") ? `${path}index.html` : path;
  return Object.hasOwn(FILES, file) ? file : undefined;
}

// What is not here yet is kept as it comes by, and so fetched once.
async function answered(file, event) {
  asked = Date.now();
  const cache = await caches.open(NAME);
  const found = await cache.match(HERE + file);
  if (found) return found;
  const answer = await fresh(file);
  const keep = async (copy) => cache.put(HERE + file, await marked(copy, FILES[file]));
  if (answer.ok) event.waitUntil(keep(answer.clone()).catch(() => {}));
  return answer;
}

self.addEventListener("install", (event) => {
  // The first one serves at once, as kernels need it for their files. A later one is
  // whole before it waits until no page of the older build is open, or until a page that
  // stands alone says so.
  if (self.registration.active) event.waitUntil(fill());
  else self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  event.waitUntil(clear().then(() => self.clients.claim()));
});

async function alone() {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  return pages.filter(({ url }) => url.startsWith(HERE)).length <= 1;
}

async function take() {
  if (await alone()) await self.skipWaiting();
}

async function report(page) {
  try {
    await fill();
    page.postMessage({ whole: true });
  } catch (error) {
    page.postMessage({ whole: false, why: error.message });
  }
}

self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(take());
  if (event.data === "let go") event.waitUntil(letGo());
  if (event.data === "fill") event.waitUntil(report(event.source));
});

self.addEventListener("fetch", (event) => {
  const file = fileOf(event.request);
  if (file === undefined) return;
  event.stopImmediatePropagation();
  event.respondWith(answered(file, event));
  if (event.request.mode === "navigate") event.waitUntil(fill().catch(() => {}));
});

// A kernel asks its page for files through here. If both are gone nobody answers, and what is
// still open would keep a new build waiting for minutes; a page that stands alone ends it.
const open = new Set();

function guarded(act) {
  return (event) => {
    const respond = event.respondWith.bind(event);
    event.respondWith = (answer) => {
      const ended = new Promise((end) => {
        const closed = () => open.delete(end);
        open.add(end);
        answer.then(closed, closed);
      });
      respond(Promise.race([answer, ended]));
    };
    return act(event);
  };
}

async function letGo() {
  if (!(await alone())) return;
  for (const end of open) end(new Response(null, { status: 410 }));
  open.clear();
}

// Of the builder's worker only what it answers is wanted, not when it takes over.
const listen = self.addEventListener;
self.addEventListener = (type, act) => type === "fetch" && listen.call(self, type, guarded(act));
importScripts("drive-worker.js");
self.addEventListener = listen;
