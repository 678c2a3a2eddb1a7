// Sliders for weights: the answer for weights that nobody wrote down, within a frame and without the server.
import { percentOf, sentence, unknown } from "/static/telling.js";
import { judge } from "/static/weighing.js";

// The form of the sliders with its ground, once it is there; a page put in its place is taken up anew.
function start() {
  const form = document.querySelector("#weights");
  if (!form || form.dataset.started) return;
  form.dataset.started = "yes";
  const ground = JSON.parse(form.dataset.ground);
  form.querySelector("button").hidden = true;
  form.addEventListener("input", (event) => {
    if (event.target.type === "range") event.target.value = Math.round(10 * event.target.value) / 10;
    show(form, ground);
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  whenIdle(() => warm(ground, 1));
}

// The first answers of a page cost what a browser pays for code that it has not run: paid while nobody moves.
const TIMES = 40;
const whenIdle = (then) => (window.requestIdleCallback || window.setTimeout)(then);

function warm(ground, time) {
  const [first, ...rest] = ground.parts, share = (100 * time) / (TIMES + 1);
  const weights = { [first.key]: share, ...Object.fromEntries(rest.map((part) => [part.key, (100 - share) / rest.length])) };
  for (const one of judge(ground, weights)) sentence(one, ground);
  if (time < TIMES) whenIdle(() => warm(ground, time + 1));
}

function show(form, ground) {
  const weights = weightsOf(form, ground);
  const read = form.querySelector(".read");
  if (!(Object.values(weights).reduce((a, b) => a + b, 0) > 0)) {
    read.textContent = "All weights are 0: give one of them more.";
    return;
  }
  const one = judge(ground, weights).find((pair) => pair.a === ground.pair[0] && pair.b === ground.pair[1]);
  read.textContent = one ? `${sharesOf(weights, ground)}: ${sentence(one, ground)}.${unknown(one, ground)}` : "Nothing that has a weight was measured.";
  if (one && !(one.missing > ground.most_missing)) mark(ground, weights, one);
  else document.querySelector("#lead-here")?.setAttribute("visibility", "hidden");
}

// Of two weights one slider moves both.
function weightsOf(form, ground) {
  const given = {};
  for (const input of form.querySelectorAll("input[type=range]")) {
    given[input.dataset.part] = Number(input.value);
    const said = percentOf(given[input.dataset.part]);
    input.setAttribute("aria-valuetext", said);
    form.querySelector(`output[for="${input.id}"]`).textContent = said;
  }
  if (ground.parts.length === 2) given[ground.parts[1].key] = 100 - given[ground.parts[0].key];
  return given;
}

function sharesOf(weights, ground) {
  const total = Object.values(weights).reduce((a, b) => a + b, 0);
  const told = ground.parts.map((part) => `${part.name} ${percentOf((100 * weights[part.key]) / total)}`);
  return `With ${told.join(", ")}`;
}

// Where the slider stands in the figure, if the figure is of this weight.
function mark(ground, weights, one) {
  const here = document.querySelector("#lead-here");
  const figure = here && here.closest("svg.fig");
  if (!figure || ground.parts.length !== 2) return;
  const share = weights[ground.parts[0].key] / 100;
  const { zero, unit, ends } = figure.dataset;
  const [top, bottom] = ends.split(" ").map(Number);
  const y = (log) => Math.max(top, Math.min(bottom, zero - log * unit));
  here.setAttribute("visibility", "visible");
  here.setAttribute("x", `${100 * share}%`);
  const dot = here.querySelector("circle"), line = here.querySelector("line");
  dot.setAttribute("cy", y(one.d));
  const half = Number.isFinite(one.shown) ? one.shown : 0;
  line.setAttribute("y1", y(one.d + half));
  line.setAttribute("y2", y(one.d - half));
}

start();
document.body.addEventListener("htmx:after:swap", start);
