// Parts that ask anew when something changed say so: hx-trigger="changed from:body".
// A page in the background lets go of the stream, since a browser keeps only a few open to one place.
import { alone, leave, listen } from "./stream.js";

let listening = false;
let seen = document.body.dataset.count; // what had changed when this page was read

function open() {
  if (listening || document.hidden) return;
  listening = true;
  listen(hear);
}

function hear(kind, count) {
  if (kind === "refused") {
    refused();
    return;
  }
  const news = kind === "changed" || (seen && count !== seen);
  seen = count;
  if (news) changed();
}

// A stream that was refused is not tried again by itself: this device is shut out, or has to wait.
async function refused() {
  close();
  const answer = await fetch("/live", { method: "HEAD" }).catch(() => null);
  if (answer?.status === 401) {
    tell(401);
    return;
  }
  if (answer && answer.status !== 429) alone(); // this page is let in, what it shares with others is not
  setTimeout(open, 5000);
}

const SAID = {
  401: ["This device is not let in any more.", "What is typed here is not stored; what was stored before is kept. What to do: ask for a new link at the workbench’s own computer, on its page Devices."],
  429: ["Too many requests came from here.", "The last thing done here was not stored. What to do: wait some seconds and do it again."],
};

function tell(status) {
  const told = document.createElement("div"), strong = document.createElement("b"), more = document.createElement("p");
  [strong.textContent, more.textContent] = SAID[status];
  told.className = "caution refused";
  told.setAttribute("role", "alert");
  told.append(strong, more);
  document.querySelector(".refused")?.remove();
  document.body.prepend(told);
}

document.addEventListener("htmx:response:error", (event) => {
  const status = event.detail?.ctx?.response?.status;
  if (status in SAID) tell(status);
});

function close() {
  listening = false;
  leave();
}

function changed() {
  document.body.dispatchEvent(new CustomEvent("changed"));
}

document.addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
window.addEventListener("pagehide", close);
window.addEventListener("pageshow", open);

// Whether a fold is open is the reader's to say, however often the part around it is exchanged. A form that is
// folded away is not meant: sent, it closes.
htmx.registerExtension("folds", {
  htmx_before_morph_attr: (part, { attrName }) => attrName !== "open" || !part.matches("details:not(.ask, .thumb)"),
});

// What had the keyboard may be gone once a part was exchanged: the part that came in its place takes it then.
const held = new WeakMap();

// A part that is taken from another page never gives this one its title.
document.addEventListener("htmx:before:swap", (event) => {
  const { ctx } = event.detail;
  if (ctx.select) ctx.title = null;
});

document.addEventListener("htmx:before:swap", (event) => {
  const ctx = event.detail?.ctx, part = ctx?.target;
  if (part instanceof Element && part !== document.body && part.contains(document.activeElement)) held.set(ctx, part.id);
});

document.addEventListener("htmx:after:swap", (event) => {
  const ctx = event.detail?.ctx;
  if (!ctx || !held.has(ctx) || document.activeElement !== document.body) return;
  const part = ctx.target.isConnected ? ctx.target : document.getElementById(held.get(ctx));
  if (!part) return;
  part.tabIndex = -1;
  part.focus({ preventScroll: true });
});

document.addEventListener("keydown", (event) => {
  const list = event.key === "Escape" && event.target.closest?.("details.pages[open]");
  if (!list) return;
  list.open = false;
  list.querySelector("summary").focus();
});
