// Runs inside.py in the site's own Python, on a folder of archives:
// node compile.mjs CORE INSIDE FOLDER
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [core, inside, folder] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${core}/pyodide.mjs`).href);
const python = await loadPyodide();
python.FS.mkdir("/archives");
python.FS.mount(python.FS.filesystems.NODEFS, { root: folder }, "/archives");
python.runPython(`${readFileSync(inside, "utf8")}\ncompile_all("/archives")\n`);
