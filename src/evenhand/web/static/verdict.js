// Sliders for weights: the answer for weights that nobody wrote down, within a frame and without the server.
import { AHEAD, BEHIND, LEVEL, judge } from "/static/weighing.js";

const MINUS = "−", NBSP = "\u00a0";

// The form of the sliders with its ground, once it is there; a page put in its place is taken up anew.
function start() {
  const form = document.querySelector("#weights");
  if (!form || form.dataset.started) return;
  form.dataset.started = "yes";
  const ground = JSON.parse(form.dataset.ground);
  form.querySelector("button").hidden = true;
  form.addEventListener("input", () => show(form, ground));
  form.addEventListener("submit", (event) => event.preventDefault());
}

function show(form, ground) {
  const weights = weightsOf(form, ground);
  const read = form.querySelector(".read");
  if (!(Object.values(weights).reduce((a, b) => a + b, 0) > 0)) {
    read.textContent = "All weights are 0: give one of them more.";
    return;
  }
  const one = judge(ground, weights).find((pair) => pair.a === ground.pair[0] && pair.b === ground.pair[1]);
  read.textContent = one ? `${sharesOf(weights, ground)}: ${sentence(one, ground)}.` : "Nothing that has a weight was measured.";
  if (one) mark(ground, weights, one);
}

// Of two weights one slider moves both.
function weightsOf(form, ground) {
  const given = {};
  for (const input of form.querySelectorAll("input[type=range]")) {
    given[input.dataset.part] = Number(input.value);
    form.querySelector(`output[for="${input.id}"]`).textContent = `${input.value}${NBSP}%`;
  }
  if (ground.parts.length === 2) given[ground.parts[1].key] = 100 - given[ground.parts[0].key];
  return given;
}

function sharesOf(weights, ground) {
  const total = Object.values(weights).reduce((a, b) => a + b, 0);
  const told = ground.parts.map((part) => `${part.name} ${Math.round((100 * weights[part.key]) / total)}${NBSP}%`);
  return `With ${told.join(", ")}`;
}

// The same words as the page's own rows.
export function sentence(one, ground) {
  const first = one.d >= 0 ? one.a : one.b;
  const flip = one.d >= 0 ? 1 : -1;
  const ends = one.outcome === LEVEL ? one.bounds : one.shown;
  const percent = (log) => 100 * (Math.exp(log) - 1);
  const [at, low, high] = [percent(flip * one.d), percent(flip * one.d - ends), percent(flip * one.d + ends)];
  const places = Number.isFinite(ends) ? decimals((high - low) / 2) : 1;
  const range = Number.isFinite(ends) ? ` (${digits(low, places)} to ${digits(high, places)})` : "";
  const measurably = one.outcome === LEVEL && one.adjusted < ground.alpha ? "measurably " : "";
  const lead = `${ground.names[first]} ${digits(at, places, true)}${NBSP}%${range}`;
  const stands = one.outcome === AHEAD || one.outcome === BEHIND ? `${ground.names[first]} ahead, ${lead}` : `${one.outcome}, ${measurably}${lead}`;
  const money = { a: `${ground.names[one.a]} is the better value`, b: `${ground.names[one.b]} is the better value`, level: "level by value" };
  return one.value === "unknown" ? stands : `${stands}; ${money[one.value]}`;
}

function digits(value, places, signed = false) {
  const size = Math.abs(value).toFixed(places);
  if (!/[1-9]/.test(size)) return size;
  return (value < 0 ? MINUS : signed ? "+" : "") + size;
}

// As many decimals as an uncertainty leaves: the rule of publish/numbers.py.
function decimals(uncertainty) {
  if (!(uncertainty > 0)) return 0;
  const power = Math.floor(Math.log10(uncertainty));
  const leading = Math.round(uncertainty / 10 ** (power - 2));
  return Math.max(0, Math.min(6, leading < 355 ? 1 - power : -power));
}

// Where the slider stands in the figure, if the figure is of this weight.
function mark(ground, weights, one) {
  const here = document.querySelector("#lead-here");
  const figure = here && here.closest("svg.fig");
  if (!figure || ground.parts.length !== 2) return;
  const share = weights[ground.parts[0].key] / 100;
  const { reach, middle, half } = figure.dataset;
  const y = (log) => Number(middle) - (Math.max(-reach, Math.min(reach, 100 * (Math.exp(log) - 1))) / reach) * half;
  here.setAttribute("visibility", "visible");
  here.setAttribute("x", `${100 * share}%`);
  const dot = here.querySelector("circle"), line = here.querySelector("line");
  dot.setAttribute("cy", y(one.d));
  const ends = Number.isFinite(one.shown) ? one.shown : 0;
  line.setAttribute("y1", y(one.d + ends));
  line.setAttribute("y2", y(one.d - ends));
}

start();
document.body.addEventListener("htmx:after:swap", start);
