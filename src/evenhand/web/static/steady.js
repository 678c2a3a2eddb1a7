// The field that somebody is typing in keeps its place on the screen, whatever grows or shrinks above it: the page is
// scrolled along. What the browser does about that by itself ends at the head of a page and in parts that are exchanged.
const FIELDS = "main input:not([type=hidden]), main textarea, main select";

let field = null;
let top = 0;

const placeOf = (element) => element.getBoundingClientRect().top;

// Wherever the reader puts it, by scrolling or by going to it, is where it stays.
function note() {
  const at = document.activeElement;
  field = at?.matches(FIELDS) ? at : null;
  if (field) top = placeOf(field);
  document.documentElement.style.overflowAnchor = field ? "none" : ""; // or both would scroll
}

function steady() {
  if (!field?.isConnected || document.activeElement !== field) return;
  const moved = placeOf(field) - top;
  if (Math.abs(moved) < 1 || top < 0 || top > window.innerHeight) return;
  window.scrollBy({ top: moved, behavior: "instant" });
  top = placeOf(field);
}

document.addEventListener("focusin", note);
document.addEventListener("focusout", () => setTimeout(note)); // whoever takes the focus has it by then
document.addEventListener("scroll", note, { passive: true, capture: true });

const main = document.getElementById("main");
if (main) {
  new MutationObserver(steady).observe(document.body, {
    subtree: true,
    childList: true,
    characterData: true,
    attributeFilter: ["open", "class", "hidden"],
  });
  new ResizeObserver(steady).observe(main); // pictures that come in later change no element
}
