// The reader's own prices, tariff, hours and weights: the verdict under them, worked out here and nowhere else.
import { energyMinor, meanWatts } from "./running.js";
import { NBSP, amount, number, sentence } from "./telling.js";
import { judge } from "./weighing.js";

function start(form) {
  const all = form.closest("[data-measured]").dataset, watts = JSON.parse(all.watts);
  const ground = { ...JSON.parse(form.dataset.ground), pairs: JSON.parse(all.measured) };
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", () => show(form, ground, watts));
  show(form, ground, watts);
}

function show(form, ground, watts) {
  const weights = weightsOf(form, ground), read = form.querySelector(".read"), costs = form.querySelector(".costs");
  const wrong = [...form.querySelectorAll(".field input")].filter((input) => !Number.isFinite(given(input)) || given(input) < 0);
  for (const input of form.querySelectorAll(".field input")) input.setAttribute("aria-invalid", wrong.includes(input));
  costs.textContent = "";
  if (wrong.length) return say(read, [`${labelOf(form, wrong[0])}: a number from 0 on is needed, as in 998 or 0.32.`]);
  if (!(Object.values(weights).reduce((a, b) => a + b, 0) > 0)) return say(read, ["All weights are 0: give one of them more."]);
  const running = runningCosts(form, ground, watts, weights);
  const own = { ...ground, prices: costsOf(form, ground, running), prices_told: "these prices" };
  const found = judge(own, weights);
  say(read, found.length ? found.map((one) => `${sentence(one, own)}.`) : ["Nothing that has a weight was measured."]);
  costs.textContent = told(running, ground);
}

// Prices in smallest units with the electricity of the years; a field left empty has no price.
function costsOf(form, ground, running) {
  const prices = {};
  for (const input of form.querySelectorAll("input.price")) {
    if (input.value.trim() === "" || given(input) === 0) continue;
    prices[input.name] = Math.round(given(input) * 10 ** ground.currency.decimals) + (running[input.name] || 0);
  }
  return prices;
}

function runningCosts(form, ground, watts, weights) {
  const [tariff, hours, years] = ["tariff", "hours", "years"].map((name) => given(form.elements[name]));
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
  return rows.length ? `Electricity at the load of these tests, in the prices above: ${rows.join(", ")}.` : "";
}

const given = (input) => (input.value.trim() === "" ? 0 : Number(input.value.trim().replace(",", ".")));
const labelOf = (form, input) => form.querySelector(`label[for="${input.id}"]`).textContent.trim();

function weightsOf(form, ground) {
  const weights = Object.fromEntries(ground.parts.map((part) => [part.key, 100 * part.share]));
  for (const input of form.querySelectorAll("input[type=range]")) {
    weights[input.dataset.part] = Number(input.value);
    form.querySelector(`output[for="${input.id}"]`).textContent = `${number(Number(input.value), 0)}${NBSP}%`;
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
