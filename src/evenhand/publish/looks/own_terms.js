// The reader's own prices, tariff, hours and weights: the verdict under them, worked out here and nowhere else.
import { energyMinor, meanWatts } from "./running.js";
import { amount, percentOf, sentence, unknown } from "./telling.js";
import { typed } from "./typed.js";
import { judge } from "./weighing.js";
import { written } from "./written.js";

const NO_PRICE = "No price: what it is worth is not judged.";
const NO_TARIFF = "No electricity is counted.", NO_TIME = "At 0 no electricity is counted.";

function start(form) {
  const all = form.closest("[data-measured]").dataset, watts = JSON.parse(all.watts);
  const ground = { ...JSON.parse(form.dataset.ground), pairs: JSON.parse(all.measured), numbers: all.numbers };
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", (event) => {
    if (event.target.type === "range") event.target.value = Math.round(10 * event.target.value) / 10;
    show(form, ground, watts);
  });
  show(form, ground, watts);
}

function show(form, ground, watts) {
  const weights = weightsOf(form, ground), read = form.querySelector(".read"), costs = form.querySelector(".costs");
  const wrong = [...form.querySelectorAll(".field input")].filter((input) => beside(input, ground));
  costs.textContent = "";
  if (wrong.length) return say(read, [`Nothing is judged: ${labelOf(form, wrong[0])} was not understood.`]);
  if (!(Object.values(weights).reduce((a, b) => a + b, 0) > 0)) return say(read, ["All weights are 0: give one of them more."]);
  const running = runningCosts(form, ground, watts, weights);
  const own = { ...ground, prices: costsOf(form, ground, running), prices_told: "these prices" };
  const found = judge(own, weights);
  say(read, found.length ? found.map((one) => inForm(`${sentence(one, own)}.${unknown(one, own)}`, own, one.bridged)) : ["Nothing that has a weight was measured."]);
  costs.textContent = told(running, ground);
}

// Says beside a field what was not understood in it, or what nothing in it means; whether it was not understood.
function beside(input, ground) {
  const { value, trouble } = given(input, ground);
  const said = trouble || (value ? "" : input.classList.contains("price") ? NO_PRICE : input.name === "tariff" ? NO_TARIFF : NO_TIME);
  input.setAttribute("aria-invalid", Boolean(trouble));
  input.closest(".field").classList.toggle("bad", Boolean(trouble));
  const place = document.getElementById(input.getAttribute("aria-describedby"));
  place.className = trouble ? "says err" : "says hint";
  if (place.textContent !== said) place.textContent = said;
  return Boolean(trouble);
}

// Prices in smallest units with the electricity of the years; a field left empty has no price.
function costsOf(form, ground, running) {
  const prices = {};
  for (const input of form.querySelectorAll("input.price")) {
    const { value } = given(input, ground);
    if (!value) continue;
    prices[input.name] = Math.round(value * 10 ** ground.currency.decimals) + (running[input.name] || 0);
  }
  return prices;
}

function runningCosts(form, ground, watts, weights) {
  const [tariff, hours, years] = ["tariff", "hours", "years"].map((name) => given(form.elements[name], ground).value || 0);
  if (!(tariff > 0)) return {};
  const shares = {};
  for (const part of ground.parts) {
    for (const [test, of] of Object.entries(part.over)) shares[test] = (shares[test] || 0) + weights[part.key] * of;
  }
  const terms = { hours, years, tariff: tariff * 10 ** ground.currency.decimals };
  return Object.fromEntries(Object.entries(meanWatts(watts, shares)).map(([setup, mean]) => [setup, energyMinor(mean, terms)]));
}

function told(running, ground) {
  const rows = Object.entries(running).map(([setup, minor]) => `${ground.names[setup]} ${amount(minor, ground.currency)}`);
  return rows.length ? `Electricity at the load of these tests, in the prices above: ${inForm(rows.join(", "), ground)}.` : "";
}

// As the page writes its numbers; names stay.
const inForm = (text, ground, names = []) => written(text, ground.numbers, [...Object.values(ground.names), ...names]);
const given = (input, ground) => typed(input.value, ground.numbers, input.classList.contains("price") ? ground.currency.decimals : null);
const labelOf = (form, input) => form.querySelector(`label[for="${input.id}"]`).textContent.trim();

function weightsOf(form, ground) {
  const weights = Object.fromEntries(ground.parts.map((part) => [part.key, 100 * part.share]));
  for (const input of form.querySelectorAll("input[type=range]")) {
    weights[input.dataset.part] = Number(input.value);
    const said = inForm(percentOf(Number(input.value)), ground);
    input.setAttribute("aria-valuetext", said);
    form.querySelector(`output[for="${input.id}"]`).textContent = said;
    if (ground.parts.length === 2) {
      const other = ground.parts.find((part) => part.key !== input.dataset.part);
      weights[other.key] = 100 - Number(input.value);
    }
  }
  return weights;
}

function say(read, sentences) {
  read.replaceChildren(...sentences.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
}

for (const form of document.querySelectorAll("form.own")) start(form);
