// What a machine costs to own, and who is better value: the arithmetic of money/owning.py and money/value.py,
// and their sentences, as publish/owning_words.py and publish/value_words.py have them.
import { energyMinor } from "/static/running.js";
import { amount, NBSP, number } from "/static/telling.js";

const SPANS = ["hours", "tariff", "resale", "fall"];
const whole = (value) => Math.floor(value + 0.5);
export const middle = (span) => (span[0] + span[1]) / 2;

// One machine of this price and watts (null where nobody read them) under `kept`.
export function owned(price, watts, kept) {
  const repairs = whole(kept.repairs * kept.years);
  const after = (share, fall) => whole(price * share * Math.exp(-fall * kept.years));
  const fetches = {
    low: after(kept.resale[0], kept.fall[1]), mid: after(middle(kept.resale), middle(kept.fall)),
    high: after(kept.resale[1], kept.fall[0]),
  };
  const energy = energyOf(watts, kept), spent = energy || { low: 0, mid: 0, high: 0 };
  const all = (used, fetched) => price + used + repairs - fetched;
  return {
    price, energy, repairs, fetches, lost: price - fetches.mid,
    whole: { low: all(spent.low, fetches.high), mid: all(spent.mid, fetches.mid), high: all(spent.high, fetches.low) },
  };
}

function energyOf(watts, kept) {
  if (watts === null || watts === undefined || !kept.hours || !kept.tariff) return null;
  const at = (hours, tariff) => energyMinor(watts, { hours, years: kept.years, tariff });
  return {
    low: at(kept.hours[0], kept.tariff[0]), mid: at(middle(kept.hours), middle(kept.tariff)),
    high: at(kept.hours[1], kept.tariff[1]),
  };
}

// The same with every span at one of its ends, in all ways.
function corners(kept) {
  return SPANS.filter((name) => kept[name]).reduce(
    (every, name) => every.flatMap((one) => [...new Set(kept[name])].map((end) => ({ ...one, [name]: [end, end] }))),
    [kept],
  );
}

function settled(kept) {
  const still = { ...kept };
  for (const name of SPANS) if (kept[name]) still[name] = [middle(kept[name]), middle(kept[name])];
  return still;
}

const mid = (one, kept) => owned(one.price, one.watts, kept).whole.mid;

// How much more a costs to own than b, both under the same assumptions.
export function apart(a, b, kept) {
  const wholes = corners(kept).map((each) => mid(a, each) - mid(b, each));
  const now = mid(a, settled(kept)) - mid(b, settled(kept));
  return { low: Math.min(now, ...wholes), mid: now, high: Math.max(now, ...wholes) };
}

// Who is better value at two prices: "a", "b", "level", "open" or "unknown".
export function stand(a, b, edge, { margin, fixed }) {
  if (!edge || edge.half === null) return "unknown";
  const paid = b + fixed, low = paid * Math.exp(edge.effect - edge.half) - fixed, high = paid * Math.exp(edge.effect + edge.half) - fixed;
  if (a < low) return "a";
  if (a > high) return "b";
  return a * (1 - margin) < low && high < a * (1 + margin) ? "level" : "open";
}

export function standByOwning(a, b, edge, terms, kept) {
  const costs = corners(kept).map((each) => [mid(a, each), mid(b, each)]);
  if (!edge || costs.some((pair) => Math.min(...pair) + terms.fixed <= 0)) return "unknown";
  const found = new Set(costs.map((pair) => stand(...pair, edge, terms)));
  return found.size === 1 ? [...found][0] : "open";
}

export const yearsWords = (years) => {
  const said = threeDigits(years);
  return `${said}${NBSP}${said === "1" ? "year" : "years"}`;
};

// As Python's %.3g has it, for what a slider of years can say.
const threeDigits = (value) => String(Number(value.toPrecision(3)));
const bare = (minor, currency) => number(minor / 10 ** currency.decimals, currency.decimals);

export function rangeWords(found, currency) {
  const said = amount(found.mid, currency);
  return found.low === found.high ? said : `${said} (${bare(found.low, currency)} to ${bare(found.high, currency)})`;
}

function standWords(stands, a, b) {
  if (stands === "a" || stands === "b") return `${stands === "a" ? a : b} is better value`;
  if (stands === "unknown") return "nothing is said of value";
  return stands === "open" ? "not told apart by value" : "level by value";
}

function apartWords(a, b, found, currency) {
  if (found.low === 0 && found.high === 0) return `${a} and ${b} cost the same to own.`;
  if (found.low === 0 || found.high === 0) {
    const most = amount(found.high - found.low, currency), way = found.low < 0 ? "less" : "more";
    return `${a} costs up to ${most} ${way} to own than ${b}, or the same.`;
  }
  if (found.low < 0 && found.high > 0) {
    const ends = [amount(-found.low, currency), amount(found.high, currency)];
    return `Which of ${a} and ${b} costs less to own hangs on the assumptions: ${a} by up to ${ends[0]}, ${b} by up to ${ends[1]}.`;
  }
  const less = found.high < 0, sizes = [Math.abs(found.low), Math.abs(found.high)];
  const near = Math.min(...sizes), far = Math.max(...sizes);
  const span = near === far ? "" : ` (${bare(near, currency)} to ${bare(far, currency)})`;
  return `${a} costs ${amount(Math.abs(found.mid), currency)} ${less ? "less" : "more"} to own than ${b}${span}.`;
}

function byOwningWords(stands, a, b) {
  const lead = "By what they cost to own, ";
  if (stands === "a" || stands === "b") return `${lead}${standWords(stands, a, b)}, whatever of the assumptions holds.`;
  if (stands === "level") return `${lead}${a} and ${b} are level by value, whatever of the assumptions holds.`;
  return stands === "open" ? `${lead}${a} and ${b} are not told apart by value.` : "Of value by what they cost to own nothing is said.";
}

// Who costs least to own, where that is so whatever of the assumptions holds.
function heading(ground, owns, of, kept) {
  const order = [...ground.setups].sort((one, other) => owns[one].whole.mid - owns[other].whole.mid);
  const [least] = order, years = yearsWords(kept.years);
  const near = order.filter((setup) => setup === least || apart(of(least), of(setup), kept).high >= 0);
  if (near.length === 1) return `${ground.names[least]} costs least to own over ${years}`;
  return `Which costs least to own over ${years} hangs on the assumptions: ${near.map((setup) => ground.names[setup]).join(" or ")}`;
}

// Every machine, and the sentences that the sliders answer.
export function answer(ground, prices, kept) {
  const currency = ground.currency;
  const of = (setup) => ({ price: prices[setup], watts: ground.watts[setup] ?? null });
  const owns = Object.fromEntries(ground.setups.map((setup) => [setup, owned(prices[setup], of(setup).watts, kept)]));
  const told = ground.setups.map((setup) => `${ground.names[setup]} ${rangeWords(owns[setup].whole, currency)}`);
  const wholes = `Over ${yearsWords(kept.years)}: ${told.join(", ")}.`;
  const [a, b] = ground.pair, head = heading(ground, owns, of, kept);
  if (!(a in owns && b in owns)) return { owns, head, said: [wholes] };
  const [one, other] = [ground.names[a], ground.names[b]];
  const at = `${one} at ${amount(prices[a], currency)} and ${other} at ${amount(prices[b], currency)}`;
  return {
    owns,
    head,
    said: [
      `${at}: ${standWords(stand(prices[a], prices[b], ground.edge, ground), one, other)}.`, wholes,
      apartWords(one, other, apart(of(a), of(b), kept), currency),
      byOwningWords(standByOwning(of(a), of(b), ground.edge, ground, kept), one, other),
    ],
  };
}
