// Sliders for prices, hours, tariff and years: what they make of it, within a frame and without the server.
import { answer, rangeWords, yearsWords } from "/static/owning.js";
import { amount, NBSP, number } from "/static/telling.js";

const PARTS = ["lost", "energy", "repairs"], AIR = 1.04;

const begun = new WeakSet();

// The form of the sliders, once it is there; a page put in its place is answered as its sliders stand.
function start() {
  const form = document.querySelector("#moving");
  if (!form) return;
  form.querySelector("button").hidden = true;
  if (begun.has(form)) return show(form);
  begun.add(form);
  form.addEventListener("input", (event) => {
    round(event.target);
    show(form);
  });
  form.addEventListener("keydown", (event) => {
    const way = WAYS[event.key];
    if (!way || !STOPS[event.target.name]) return;
    event.preventDefault();
    step(event.target, way);
    show(form);
  });
  form.addEventListener("submit", (event) => event.preventDefault());
}

// Sliders without steps of their own stop at numbers that one says; where one stood is one of them.
const STOPS = { hours: 10, tariff: 0.005, years: 0.5 };

function round(input) {
  const stop = STOPS[input.name];
  if (!stop) return;
  const plain = Number(input.dataset.plain), value = Number(input.value);
  input.value = Math.abs(value - plain) < stop / 2 ? input.dataset.plain : Number((stop * Math.round(value / stop)).toPrecision(6));
}

// A key goes on to another stop, a hundredth of the way or one: a browser's own step may be less than half a stop.
const WAYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 };

function step(input, way) {
  const stop = STOPS[input.name], many = Math.max(1, Math.round((input.max - input.min) / 100 / stop));
  input.value = Number(input.value) + way * many * stop;
  round(input);
}

function show(form) {
  const ground = JSON.parse(form.dataset.ground);
  const prices = { ...ground.prices }, kept = { ...ground.kept };
  for (const input of form.querySelectorAll("input[type=range]")) read(input, ground, prices, kept);
  const found = answer(ground, prices, kept);
  const place = form.querySelector(".read");
  place.replaceChildren(...found.said.map((words) => Object.assign(document.createElement("p"), { textContent: words })));
  document.querySelector("#owning > h2").textContent = found.head;
  draw(found, ground);
  fill(found.owns, ground.currency);
}

// Where a slider stands where it stood, the span that is on record holds.
function read(input, ground, prices, kept) {
  const moved = input.value !== input.dataset.plain, value = Number(input.value), unit = 10 ** ground.currency.decimals;
  if (input.dataset.of && moved) prices[input.dataset.of] = Math.round(value * unit);
  if (input.name === "years" && moved) kept.years = value;
  if (input.name === "hours" && moved) kept.hours = [value, value];
  if (input.name === "tariff" && moved) kept.tariff = [value * unit, value * unit];
  const said = moved ? words(input, value, prices, ground) : input.dataset.said;
  input.setAttribute("aria-valuetext", said);
  document.querySelector(`output[for="${input.id}"]`).textContent = said;
}

function words(input, value, prices, ground) {
  if (input.dataset.of) return amount(prices[input.dataset.of], ground.currency);
  if (input.name === "years") return yearsWords(value);
  if (input.name === "hours") return `${number(value, 0)}${NBSP}h`;
  return `${number(value, 3).replace(/\.?0+$/, "") || "0"}${NBSP}${ground.currency.symbol}`;
}

function fill(owns, currency) {
  for (const [setup, own] of Object.entries(owns)) {
    const row = document.querySelector(`#own-table tr[data-setup="${CSS.escape(setup)}"]`);
    const cells = {
      price: amount(own.price, currency), energy: own.energy ? rangeWords(own.energy, currency) : "not counted",
      repairs: amount(own.repairs, currency), fetches: rangeWords(own.fetches, currency), whole: rangeWords(own.whole, currency),
    };
    for (const [name, said] of Object.entries(cells)) {
      const cell = row.querySelector(`[data-cell="${name}"]`);
      (cell.querySelector("b") || cell).textContent = said;
    }
  }
}

function draw({ owns, head }, { names, currency }) {
  const figure = document.querySelector("#own-drawn svg");
  const told = Object.entries(owns).map(([setup, own]) => `${names[setup]} ${rangeWords(own.whole, currency)}`);
  figure.setAttribute("aria-label", `${head}: ${told.join("; ")}`);
  const most = AIR * Math.max(1, ...Object.values(owns).flatMap((own) => [own.whole.high, own.whole.mid]));
  call(figure, Object.values(owns)[0], most);
  for (const [setup, own] of Object.entries(owns)) {
    const piece = (name) => figure.querySelector(`[data-setup="${CSS.escape(setup)}"][data-part="${name}"]`);
    const minor = { lost: own.lost, energy: own.energy ? own.energy.mid : 0, repairs: own.repairs };
    let from = 0;
    for (const name of PARTS) {
      const share = (100 * Math.max(minor[name], 0)) / most;
      piece(name).setAttribute("x", `${from}%`);
      piece(name).setAttribute("width", `${share}%`);
      from += share;
    }
    const [low, high] = [own.whole.low, own.whole.high].map((end) => (100 * Math.max(end, 0)) / most);
    for (const [name, x1, x2] of [["reach", low, high], ["low", low, low], ["high", high, high]]) {
      piece(name).setAttribute("x1", `${x1}%`);
      piece(name).setAttribute("x2", `${x2}%`);
    }
    figure.querySelector(`[data-setup="${CSS.escape(setup)}"][data-said]`).textContent = rangeWords(own.whole, currency);
  }
}

// What the parts of the first bar are called stands under each of them that has room for it.
function call(figure, own, most) {
  const minor = { lost: own.lost, energy: own.energy ? own.energy.mid : 0, repairs: own.repairs };
  const whole = figure.getBoundingClientRect().width;
  let from = 0, free = 0;
  for (const name of PARTS) {
    const words = figure.querySelector(`[data-called="${name}"]`), start = (whole * from) / most;
    from += Math.max(minor[name], 0);
    if (!words) continue;
    const room = minor[name] > 0 && start >= free && start + words.getComputedTextLength() <= whole;
    words.setAttribute("x", `${(100 * start) / whole}%`);
    words.setAttribute("visibility", room ? "visible" : "hidden");
    if (room) free = start + words.getComputedTextLength() + 8;
  }
}

start();
document.body.addEventListener("htmx:after:swap", start);
