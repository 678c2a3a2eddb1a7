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

// What was just decided, or taken back, takes the keyboard, and the page stays where it is: the bar stands at its foot anyway.
document.querySelector(".thumbs .done")?.focus({ preventScroll: true });

// Who comes back to a part of the page, having done something there, goes on in it.
const part = document.getElementById(location.hash.slice(1));
if (part?.matches("article.next-run, #names")) {
  part.tabIndex = -1;
  part.focus();
}

// Why nothing was done, or what is asked first, is seen at once, wherever on the page it stands.
document.querySelector("#told-late:not(:empty), main .err[role=alert]")?.scrollIntoView({ block: "center" });

// What somebody is filling in is not exchanged for what is newer: it follows when they leave it. Of the runs that
// come next only the card that is being filled in stays.
const FIELDS = "input:not([type=hidden]), textarea, select";

function filling(part) {
  const at = document.activeElement;
  if (part.contains(at) && at.matches(FIELDS)) return true;
  if (part.querySelector("details.thumb[open]")) return true;
  if (part.matches("article.next-run") && part.querySelector('.err[role="alert"]')) return true; // not read yet
  return [...part.querySelectorAll(FIELDS)].some((field) => typed(field) && !field.closest("details:not([open])"));
}

function typed(field) {
  if (field.type === "file") return field.files.length > 0;
  if ("typed" in field.dataset) return field.value !== ""; // typed before the page came, which asks about it
  if (field.matches("[type=checkbox], [type=radio]")) return field.checked !== field.defaultChecked;
  if (field.tagName !== "SELECT") return field.value !== field.defaultValue;
  return [...field.options].some((option, at) => option.selected !== (option.defaultSelected || (at === 0 && !field.querySelector("[selected]"))));
}

document.body.addEventListener("htmx:before:swap", (event) => {
  const part = event.detail?.ctx?.target ?? event.target;
  if (!(part instanceof Element) || part.tagName === "FORM") return;
  const fresh = event.detail?.tasks?.find((task) => task.target === part)?.fragment;
  const cards = [...part.querySelectorAll("article.next-run")].filter(filling);
  if (cards.length && fresh) {
    waiting = true;
    for (const card of cards) hold(card, fresh);
  } else if (filling(part)) {
    event.preventDefault();
    waiting = true;
    tellDecided(part, event.detail?.ctx?.text);
    return;
  }
  opened.set(event.detail.ctx, foldsOf(part));
});

// The card stays as it is, also where what came has no such card any more; then it says why, and files nothing.
function hold(card, fresh) {
  card.setAttribute("hx-morph-skip", "");
  if (fresh.querySelector(`#${card.id}`)) {
    rearm(card);
    return;
  }
  const cards = [...card.parentElement.querySelectorAll("article.next-run")];
  const next = fresh.querySelectorAll("article.next-run")[cards.indexOf(card)];
  const place = fresh.querySelector(`#${card.parentElement.id}`) ?? fresh;
  place.insertBefore(card.cloneNode(false), next ?? null);
  tellClosed(card);
}

const GONE = 'form[action$="/file"], form[action$="/skip"], form[action$="/warm-up"]';

async function tellClosed(card) {
  const about = card.querySelector('form input[name="plan"]')?.form;
  if (!about) return;
  const asked = new URLSearchParams({ plan: about.elements.plan.value, slot: about.elements.slot.value });
  const answer = await fetch(`${card.closest("[hx-get]").getAttribute("hx-get")}/closed?${asked}`).catch(() => null);
  const words = answer?.ok ? await answer.text() : "";
  if (!words || !card.isConnected) return;
  for (const form of card.querySelectorAll(GONE)) for (const button of form.querySelectorAll("button")) button.disabled = true;
  const told = card.querySelector(".decided-meanwhile") ?? closedMeanwhile(card);
  if (told.firstChild.data !== words) told.firstChild.data = words;
}

function closedMeanwhile(card) {
  const line = document.createElement("p"), on = document.createElement("button");
  line.className = "decided-meanwhile";
  line.setAttribute("role", "alert");
  on.className = "btn";
  on.type = "button";
  on.textContent = "Leave it, and see what is next";
  on.addEventListener("click", () => {
    for (const form of card.querySelectorAll("form")) form.reset();
    for (const fold of card.querySelectorAll("details[open]")) fold.open = false;
    document.body.dispatchEvent(new CustomEvent("changed"));
  });
  line.append(" ", on);
  card.querySelector(".more-ways").before(line);
  const lead = card.querySelector(".lead-in");
  lead.dataset.next = lead.textContent;
  lead.textContent = lead.textContent.replace("Next, r", "R").split(".")[0];
  return line;
}

function rearm(card) {
  card.querySelector(":scope > .decided-meanwhile")?.remove();
  const lead = card.querySelector(".lead-in[data-next]");
  if (lead) lead.textContent = lead.dataset.next;
  delete lead?.dataset.next;
  for (const button of card.querySelectorAll("form button:disabled")) button.disabled = false;
}

// A fold that is open, and not being filled in, stays open in what is newer.
const opened = new WeakMap();

const nameOf = (fold) => `${fold.parentElement.closest("[id]")?.id} ${fold.querySelector("summary")?.textContent}`;
const foldsOf = (part) => new Set([...part.querySelectorAll("details.ask[open]")].map(nameOf));

document.body.addEventListener("htmx:after:swap", (event) => {
  const ctx = event.detail?.ctx, folds = ctx && opened.get(ctx);
  const part = folds && (ctx.target.isConnected ? ctx.target : document.getElementById(ctx.target.id));
  if (!part) return;
  for (const card of part.querySelectorAll("article[hx-morph-skip]")) card.removeAttribute("hx-morph-skip");
  for (const fold of part.querySelectorAll("details.ask")) if (folds.has(nameOf(fold))) fold.open = true;
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
    const open = waits.has(runOf(form));
    if (open) told?.remove();
    else if (!told) form.prepend(decidedMeanwhile());
    for (const button of form.querySelectorAll("button")) button.disabled = !open;
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
});

// A reading whose run had landed meanwhile: where it went is told once, above the card, until something else is typed;
// whoever typed it is led there. The answer itself is listened to: its field may be gone before it comes, and then the
// event is the document's.
document.addEventListener("htmx:after:request", (event) => {
  const place = document.querySelector("#told-late"), text = event.detail?.ctx?.text;
  if (!place || event.detail.ctx.request.method !== "POST" || !text?.includes('class="late"')) return;
  place.textContent = new DOMParser().parseFromString(text, "text/html").querySelector(".late").textContent;
  place.tabIndex = -1;
  place.focus();
});

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

// What is on its way in the watched folder is said on the cards of the next runs too.
document.body.addEventListener("htmx:after:swap", () => {
  const words = document.getElementById("coming")?.textContent ?? "";
  for (const line of document.querySelectorAll(".coming-too")) if (line.textContent !== words) line.textContent = words;
});
