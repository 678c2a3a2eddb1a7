// The files that wait follow the workbench; a file that somebody has begun to fill in is left as it is until then.
const begun = (card) =>
  card.contains(document.activeElement) && document.activeElement.matches("input, select, textarea")
    ? true
    : card.dataset.begun === "yes";

function mark(event) {
  const card = event.target.closest?.("section.waiting");
  if (!card) return;
  card.dataset.begun = "yes";
}
document.body.addEventListener("input", mark);
document.body.addEventListener("change", mark);

// Before newer cards are put in: of a file that is being filled in the card that stands here is kept, also where
// somebody else has dealt with the file meanwhile, since sending it says so without losing what was typed.
document.body.addEventListener("htmx:before:swap", (event) => {
  const part = event.detail?.ctx?.target ?? event.target;
  if (!(part instanceof Element) || part.id !== "cards") return;
  if ([...part.querySelectorAll("section.waiting")].some(begun)) {
    event.preventDefault();
    fresh(event.detail?.ctx?.text);
  }
});

function fresh(text) {
  if (typeof text !== "string") return;
  const place = document.querySelector("#cards");
  const come = new DOMParser().parseFromString(text, "text/html").querySelector("#cards");
  if (!place || !come) return;
  const there = new Set([...come.querySelectorAll("section.waiting")].map((card) => card.id));
  for (const card of place.querySelectorAll("section.waiting")) {
    if (!there.has(card.id) && !begun(card)) card.remove();
  }
  for (const card of come.querySelectorAll("section.waiting")) {
    const known = document.getElementById(card.id);
    if (known && begun(known)) continue;
    if (known) known.replaceWith(card);
    else place.prepend(card);
  }
}
