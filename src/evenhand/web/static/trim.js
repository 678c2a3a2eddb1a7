// The measured window over a trace: two edges to be dragged or moved by keys; the form beside it holds the truth.
const STEP = 0.1;
const SMALL = 0.01;
const PAGE = 5;
const LEAST = 0.1;

// Trimming of one drawn trace, or null where its page has no form for that.
export function trimming(view) {
  const form = document.querySelector("#trim-form");
  const fold = document.querySelector("#trim-fold");
  if (!form || !fold) return null;
  const length = Number(form.dataset.length);
  const trim = { view, form, fold, length, low: form.elements.start_s, high: form.elements.end_s };
  trim.handles = [handle(trim, trim.low, "Start of what is measured"), handle(trim, trim.high, "End of what is measured")];
  view.over.append(...trim.handles);
  fold.addEventListener("toggle", () => place(trim));
  form.addEventListener("input", () => place(trim));
  return trim;
}

// Where the window begins and ends, as it is typed; what cannot be read leaves that side open.
export function sides(trim) {
  const low = typed(trim.low.value, 0);
  return [Math.min(low, trim.length), Math.min(typed(trim.high.value, trim.length), trim.length)];
}

function typed(text, otherwise) {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() === "" || !Number.isFinite(value) || value < 0 ? otherwise : value;
}

// The parts that are not measured, veiled over what was drawn.
export function veil(trim, plot, ink) {
  const { ctx, bbox } = plot;
  const [low, high] = sides(trim).map((at) => clamp(plot.valToPos(at, "x", true), bbox.left, bbox.left + bbox.width));
  ctx.save();
  for (const [from, to, edge] of [[bbox.left, low, low], [high, bbox.left + bbox.width, high]]) {
    if (to - from < 1) continue;
    ctx.globalAlpha = 0.78;
    ctx.fillStyle = ink.band;
    ctx.fillRect(from, bbox.top, to - from, bbox.height);
    ctx.globalAlpha = 1;
    ctx.fillStyle = ink.words;
    ctx.fillRect(edge - devicePixelRatio, bbox.top, 2 * devicePixelRatio, bbox.height);
  }
  ctx.restore();
}

const NEAR = 8; // the chart begins at the middle of its first column: on a wide one some pixels beyond the log's start

// Puts the edges where the form says, and draws the veil anew.
export function place(trim, redraw = true) {
  const { view, handles, fold } = trim;
  const plot = view.uplot;
  if (!plot) return;
  const [left, width] = [plot.bbox.left / devicePixelRatio, plot.bbox.width / devicePixelRatio];
  sides(trim).forEach((at, side) => {
    const own = handles[side];
    const x = plot.valToPos(at, "x");
    own.hidden = !fold.open || x < -NEAR || x > width + NEAR;
    own.style.left = `${left + clamp(x, 0, width)}px`;
    own.style.top = `${plot.bbox.top / devicePixelRatio}px`;
    own.style.height = `${plot.bbox.height / devicePixelRatio}px`;
    told(trim, own, side, at);
  });
  if (redraw) plot.redraw(false);
}

function told(trim, own, side, at) {
  const [low, high] = sides(trim);
  own.setAttribute("aria-valuemin", side ? (low + LEAST).toFixed(2) : "0");
  own.setAttribute("aria-valuemax", side ? trim.length.toFixed(2) : Math.max(0, high - LEAST).toFixed(2));
  own.setAttribute("aria-valuenow", at.toFixed(2));
  const ends = side && trim.high.value.trim() === "";
  own.setAttribute("aria-valuetext", ends ? "to the end of the log" : `${at.toFixed(2)} seconds into the log`);
}

function handle(trim, input, label) {
  const made = document.createElement("div");
  made.className = input === trim.low ? "edge low" : "edge high";
  made.tabIndex = 0;
  made.hidden = true;
  made.setAttribute("role", "slider");
  made.setAttribute("aria-orientation", "horizontal");
  made.setAttribute("aria-label", label);
  made.addEventListener("keydown", (event) => byKey(trim, input, event));
  made.addEventListener("pointerdown", (event) => byPointer(trim, input, made, event));
  return made;
}

function byKey(trim, input, event) {
  const side = input === trim.low ? 0 : 1;
  const at = sides(trim)[side];
  const step = event.shiftKey ? SMALL : STEP;
  const moves = {
    ArrowLeft: at - step, ArrowDown: at - step, ArrowRight: at + step, ArrowUp: at + step,
    PageDown: at - PAGE, PageUp: at + PAGE, Home: 0, End: trim.length,
  };
  if (!(event.key in moves)) return;
  event.preventDefault();
  put(trim, input, moves[event.key]);
  // Once the keys rest: each press alone would have the workbench measure anew.
  clearTimeout(trim.rest);
  trim.rest = setTimeout(() => changed(input), 500);
}

function byPointer(trim, input, own, event) {
  if (event.button) return;
  event.preventDefault();
  event.stopPropagation();
  own.focus();
  own.setPointerCapture(event.pointerId);
  const box = trim.view.uplot.over.getBoundingClientRect();
  const apart = event.clientX - (box.left + trim.view.uplot.valToPos(sides(trim)[input === trim.low ? 0 : 1], "x"));
  const move = (now) => put(trim, input, trim.view.uplot.posToVal(now.clientX - apart - box.left, "x"));
  const end = () => {
    own.removeEventListener("pointermove", move);
    changed(input);
  };
  own.addEventListener("pointermove", move);
  own.addEventListener("lostpointercapture", end, { once: true });
}

// An edge at an end of the log stands for that end, however long the others are.
function put(trim, input, at) {
  const [low, high] = sides(trim);
  const end = input === trim.high;
  const value = end ? clamp(at, low + LEAST, trim.length) : clamp(at, 0, high - LEAST);
  input.value = end && trim.length - value < STEP / 2 ? "" : String(Number(value.toFixed(2)));
  place(trim);
}

function changed(input) {
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
