// Keys that are pressed in a panel stay in it, but for those that a notebook still gets.
// A part of every panel's front end, in front of the rest.

// The application's own mark for a place whose keys are no shortcuts.
const MARK = "data-lm-suppress-shortcuts";
const TEXT = "textarea, input[type=text]";

/** Whether the application gets a key: leave, run this cell, save, find, commands. */
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

function letPass(event) {
  const panel = event.currentTarget;
  if (!passes(event)) return;
  panel.removeAttribute(MARK);
  setTimeout(() => panel.setAttribute(MARK, "true"));
}

/** Keep keys in a panel: listeners are added once, however often it is asked for. */
function keepKeys(panel) {
  panel.setAttribute(MARK, "true");
  panel.addEventListener("keydown", letPass, true);
  panel.addEventListener("keydown", keep);
}
