// Counts the warm-up down between two looks at the workbench, and leaves alone what somebody is typing.
let waiting = false;

function tick() {
  for (const box of document.querySelectorAll(".warming[data-left]")) {
    if (box.dataset.left === "") continue;
    const began = Number(box.dataset.seen ?? (box.dataset.seen = String(performance.now())));
    const left = Math.max(0, Number(box.dataset.left) - Math.floor((performance.now() - began) / 1000));
    const clock = box.querySelector(".clock");
    const words = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
    if (clock && clock.textContent !== words) clock.textContent = words;
    const bar = box.querySelector("progress");
    if (bar) bar.value = Number(box.dataset.whole) - left;
    const said = box.querySelector(".clock + span");
    if (said && left === 0) said.textContent = "warm: begin the run";
  }
}
setInterval(tick, 500);

// What was just decided takes the keyboard, and the page stays where it is: the bar stands at its foot anyway.
document.querySelector(".thumbs .done")?.focus({ preventScroll: true });

// A part that somebody is filling in is not exchanged for a newer one: it follows when they leave it.
function filling(part) {
  if (!part) return false;
  const at = document.activeElement;
  if (part.contains(at) && at.matches("input:not([type=hidden]), textarea, select")) return true;
  return part.querySelector("details.ask[open], details.thumb[open]") !== null;
}

document.body.addEventListener("htmx:before:swap", (event) => {
  const part = event.detail?.ctx?.target ?? event.target;
  if (!(part instanceof Element) || part.tagName === "FORM") return;
  if (filling(part)) {
    event.preventDefault();
    waiting = true;
    tellDecided(part, event.detail?.ctx?.text);
  }
});

// A panel that stands open while somebody else decides about its run says so before anything is chosen in it.
const DECIDING = 'form[action$="/decide"]';
const runOf = (form) => form.querySelector('[name="run"]')?.value;

function tellDecided(part, text) {
  if (typeof text !== "string") return;
  const come = new DOMParser().parseFromString(text, "text/html").getElementById(part.id);
  const waits = new Set([...(come?.querySelectorAll(DECIDING) ?? [])].map(runOf));
  for (const form of part.querySelectorAll(`details[open] ${DECIDING}`)) {
    const told = form.querySelector(".decided-meanwhile");
    if (waits.has(runOf(form))) told?.remove();
    else if (!told) form.prepend(decidedMeanwhile());
  }
}

function decidedMeanwhile() {
  const line = document.createElement("p");
  line.className = "decided-meanwhile";
  line.setAttribute("role", "alert");
  line.textContent = "This run was decided about meanwhile, elsewhere. Close this to see what stands now.";
  return line;
}

document.body.addEventListener(
  "toggle",
  (event) => {
    if (event.target.open || !waiting) return;
    waiting = false;
    document.body.dispatchEvent(new CustomEvent("changed"));
  },
  true,
);

document.body.addEventListener("htmx:after:swap", () => {
  for (const box of document.querySelectorAll(".warming")) delete box.dataset.seen;
  tellLate(document.querySelector("#next .late"));
});

// A reading whose run had landed meanwhile: where it went came in place of its field. It is told above the card,
// which is exchanged at once, until something else is typed.
function tellLate(came) {
  const place = document.querySelector("#told-late");
  if (!came || !place) return;
  place.textContent = came.textContent;
  came.removeAttribute("class");
}

document.body.addEventListener("input", (event) => {
  const place = document.querySelector("#told-late");
  if (place && event.target.closest("#next")) place.textContent = "";
});

document.body.addEventListener("focusout", () => {
  if (!waiting) return;
  waiting = false;
  setTimeout(() => document.body.dispatchEvent(new CustomEvent("changed")), 200);
});

document.body.addEventListener("keydown", (event) => {
  const open = event.target.closest?.("details.ask[open], details.thumb[open]");
  if (event.key !== "Escape" || !open) return;
  open.open = false;
  open.querySelector("summary").focus();
});
