// A verdict of weighing.js in words and digits, as publish/verdict_words.py, spans.py and numbers.py have them.
import { AHEAD, BEHIND, LEVEL } from "./weighing.js";

export const MINUS = "−", NBSP = "\u00a0";
const MOST_PERCENT = 1000, MOST_DECIMALS = 6;

// How a pair stands, and whose money is better spent: publish/verdict_words.py, buy_words.
export function sentence(one, ground) {
  const stands = clause(one, ground);
  if (!ground.currency || one.value === "unknown") return stands;
  if (one.value === LEVEL) return `${stands}, and ${ground.by_value[one.open ? 1 : 0]} at ${ground.prices_told || "today's prices"}`;
  const [better, other] = one.value === "a" ? [one.a, one.b] : [one.b, one.a];
  const price = amount(ground.prices[better], ground.currency);
  return `${stands}; ${ground.names[better]} is better value than ${ground.names[other]} at ${price}`;
}

// What has no number, behind a verdict that is called without it: publish/unmeasured_words.py, besides_words.
export function unknown(one, ground) {
  const open = one.missing > 1e-9 && !(one.missing > ground.most_missing);
  return open ? ` ${percentOf(100 * one.missing)} of the weight has no number.` : "";
}

// A share to the tenth of a point, where there is one.
export function percentOf(percent) {
  return `${percent.toFixed(1).replace(/\.0$/, "")}${NBSP}%`;
}

function clause(one, ground) {
  const called = one.outcome === AHEAD || one.outcome === BEHIND;
  const [a, b] = [ground.names[one.a], ground.names[one.b]];
  const [first, second] = one.d >= 0 ? [a, b] : [b, a];
  const span = frontSpan(one, ground);
  const bridge = one.bridged.length ? `, bridged by ${listed(one.bridged)}` : "";
  if (called) {
    const small = smallPerhaps(one, ground) ? `, perhaps by less than the margin of ${ground.margin_told}` : "";
    return `${first} is ahead of ${second} by ${words(span, span.low !== null && span.low < 0)}${small}${bridge}`;
  }
  if (one.missing > ground.most_missing) {
    return `${a} and ${b} are ${one.outcome}: ${number(100 * one.missing, 0)}${NBSP}% of the weight has no number`;
  }
  const within = one.outcome === LEVEL ? ` within ±${ground.margin_told}` : "";
  const measurably = one.outcome === LEVEL && one.adjusted < ground.alpha ? "measurably " : "";
  return `${a} and ${b} are ${one.outcome}${within}: ${measurably}${first} ${words(span, true)}${bridge}`;
}

// Names in a row: numbers.py, listed.
function listed(names) {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}

// Whether a lead may lie within the margin: findings/outcomes.py, may_be_small.
function smallPerhaps(one, ground) {
  const least = (half) => (Number.isFinite(half) ? Math.abs(one.d) - half : Infinity);
  return Math.min(least(one.shown), least(one.bounds)) < ground.margin;
}

// The one in front over the other in per cent, with the interval that the outcome rests on.
function frontSpan(one, ground) {
  const byBounds = one.outcome === LEVEL && Number.isFinite(one.bounds);
  const half = byBounds ? one.bounds : one.shown;
  const percent = (log) => (Math.exp(log) - 1) * 100;
  const d = Math.abs(one.d), known = Number.isFinite(half);
  return {
    value: percent(d), low: known ? percent(d - half) : null, high: known ? percent(d + half) : null,
    note: byBounds ? ground.held_told : "",
  };
}

function words(span, signed) {
  const places = decimalsOf(span);
  const told = (value) => (value > MOST_PERCENT ? `more than ${number(MOST_PERCENT, 0)}` : number(value, places, signed));
  const said = `${told(span.value)}${NBSP}%`;
  if (span.low === null) return said;
  const range = span.low > MOST_PERCENT ? told(span.high) : `${told(span.low)} to ${told(span.high)}`;
  return `${said} (${span.note ? `${span.note}: ` : ""}${range})`;
}

// Decimals that an interval allows, one more where an end would be rounded onto zero: spans.py.
function decimalsOf({ value, low, high }) {
  if (low === null) return Math.min(value === 0 || !Number.isFinite(value) ? 0 : 1 - Math.floor(Math.log10(Math.abs(value))), 1);
  let places = decimals((high - low) / 2);
  if (low < 0 && high > 0) return places;
  const ends = [low, high].filter((end) => end !== 0);
  while (places < MOST_DECIMALS && ends.some((end) => Math.abs(end) < 0.5 * 10 ** -places)) places += 1;
  return places;
}

// As many decimals as an uncertainty leaves: numbers.py, decimals_for.
export function decimals(uncertainty) {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 0;
  const power = Math.floor(Math.log10(uncertainty));
  const leading = Math.round(uncertainty / 10 ** (power - 2));
  return leading < 355 ? 1 - power : -power;
}

// A number in digits: true minus, thousands by comma, never a sign before zero.
export function number(value, places, signed = false) {
  const [whole, rest] = Math.abs(value).toFixed(Math.min(Math.max(places, 0), MOST_DECIMALS)).split(".");
  const size = whole.replace(/\B(?=(\d{3})+$)/g, ",") + (rest ? `.${rest}` : "");
  if (!/[1-9]/.test(size)) return size;
  return (value < 0 ? MINUS : signed ? "+" : "") + size;
}

// An amount of smallest units with its currency.
export function amount(minor, currency) {
  return `${number(minor / 10 ** currency.decimals, currency.decimals)}${NBSP}${currency.symbol}`;
}
