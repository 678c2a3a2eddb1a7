// The arithmetic of a verdict, as stats/weighing.py and verdicts/standing.py have it: columns under weights.
// Data come once from the page; every answer is worked out anew here, so that a slider needs nobody.
export const AHEAD = "ahead", BEHIND = "behind", LEVEL = "level", UNSETTLED = "unsettled";
const UNEQUAL_BOOTS = 0.01, UNLIKE_BOOTS = 0.5;

// ln Γ(x) for x > 0: Stirling's series, its argument first raised to where five terms are enough.
function logGamma(x) {
  let shift = 0;
  for (; x < 12; x += 1) shift += Math.log(x);
  const s = 1 / (x * x);
  const series = (1 / 12 - s * (1 / 360 - s * (1 / 1260 - s * (1 / 1680 - s / 1188)))) / x;
  return (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + series - shift;
}

// The regularised incomplete beta function I_x(a, b), by its continued fraction (DLMF 8.17.22).
export function betaShare(x, a, b) {
  if (!(x > 0)) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaShare(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  let c = 1, d = 1 / nonzero(1 - ((a + b) * x) / (a + 1)), fraction = d;
  for (let m = 1; m < 300; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    for (const term of [even, odd]) {
      d = 1 / nonzero(1 + term * d);
      c = nonzero(1 + term / c);
      fraction *= c * d;
    }
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return front * fraction;
}

const nonzero = (value) => (Math.abs(value) < 1e-300 ? 1e-300 : value);

// Student's t beyond ± t, both sides together.
export const bothTails = (t, df) => betaShare(df / (df + t * t), df / 2, 0.5);

// The t within which `level` of Student's distribution lies; each is worked out once, since few are asked for.
const known = new Map();

export function quantile(level, df) {
  const key = `${level} ${df}`;
  if (!known.has(key)) {
    if (known.size > 5000) known.clear();
    known.set(key, halved(level, df));
  }
  return known.get(key);
}

// Found by halving, until nothing lies between the two ends.
function halved(level, df) {
  let low = 0, high = 1;
  while (bothTails(high, df) > 1 - level && high < 1e12) high *= 2;
  for (let i = 0; i < 100; i += 1) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (bothTails(middle, df) > 1 - level) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const sum = (values) => values.reduce((total, value) => total + value, 0);
const dot = (one, other) => one.reduce((total, value, i) => total + value * other[i], 0);

// One pair's columns under weights (shares of their sum): log difference, error, degrees of freedom.
export function weigh(columns, weights) {
  const total = sum(weights);
  const w = weights.map((weight) => weight / total);
  let variance = 0, pull = 0;
  if (columns.boots) [variance, pull] = byBoots(w, columns.boots);
  if (columns.se) {
    const own = byColumns(w, columns);
    variance += own[0];
    pull += own[1];
  }
  return { d: dot(w, columns.d), se: Math.sqrt(variance), df: pull > 0 ? (variance * variance) / pull : 0, w };
}

function byBoots(w, boots) {
  const [a, b] = boots.map((side) => {
    const onBoots = w.map((share, i) => (side.runs[i] > 0 ? share : 0));
    const total = sum(onBoots);
    const df = total > 0 ? dot(onBoots, side.runs) / total - 1 : 1;
    return { variance: sum(side.squares.map((row, i) => w[i] * dot(row, w))), df };
  });
  const variance = a.variance + b.variance;
  if (!(variance > 0)) return [variance, 0];
  const unlike = Math.abs(a.df - b.df) > UNLIKE_BOOTS || uneven(a, b);
  const pull = unlike ? a.variance ** 2 / a.df + b.variance ** 2 / b.df : variance ** 2 / (a.df + b.df);
  return [variance, pull];
}

// Whether the sides differ clearly in spread: a two-sided F test.
function uneven(a, b) {
  if (a.variance <= 0 || b.variance <= 0) return a.variance !== b.variance;
  const upper = betaShare(b.df / (b.df + (a.df * a.variance) / b.variance), b.df / 2, a.df / 2);
  return 2 * Math.min(upper, 1 - upper) < UNEQUAL_BOOTS;
}

function byColumns(w, { se, df, kin }) {
  const groups = new Map();
  se.forEach((error, i) => {
    const key = kin && kin.length ? kin[i] : i;
    const own = groups.get(key) || { part: 0, df: Infinity };
    groups.set(key, { part: own.part + w[i] * error, df: Math.min(own.df, df[i]) });
  });
  const parts = [...groups.values()].map(({ part, df: least }) => [part ** 2, least]);
  return [sum(parts.map(([part]) => part)), sum(parts.map(([part, least]) => part ** 2 / least))];
}

// The shares of tests and properties that a choice of weights gives, laid upon the columns of a pair.
export function lay(ground, pair, weights) {
  const total = sum(ground.parts.map((part) => weights[part.key]));
  const tests = new Map();
  for (const part of ground.parts) {
    for (const [test, of] of Object.entries(part.over)) {
      tests.set(test, (tests.get(test) || 0) + (weights[part.key] / total) * of);
    }
  }
  const places = new Map(pair.test.map((test, i) => [`${pair.property[i]} ${test}`, i]));
  const laid = pair.test.map(() => 0);
  let missing = 0;
  for (const [place, share] of wanted(ground, tests)) {
    if (places.has(place)) laid[places.get(place)] += share;
    else missing += share;
  }
  return { laid, missing, price: ground.properties.price || 0 };
}

function wanted(ground, tests) {
  const found = new Map();
  const add = (place, share) => share > 0 && found.set(place, (found.get(place) || 0) + share);
  for (const [property, share] of Object.entries(ground.properties)) {
    if (property === "price") continue;
    if (property === "noise") add("noise ", share);
    else for (const [test, of] of tests) {
      const scored = property === "lows" && ground.scores.includes(test);
      add(`${scored ? "speed" : property} ${test}`, share * of);
    }
  }
  return found;
}

// Every pair under these weights: how it stands for its audience, with p adjusted over the pairs (Holm 1979).
export function judge(ground, weights) {
  const found = ground.pairs.map((pair) => stand(ground, pair, lay(ground, pair, weights))).filter(Boolean);
  const known = found.filter((one) => Number.isFinite(one.p)).sort((one, other) => one.p - other.p);
  let least = 0;
  known.forEach((one, i) => {
    least = Math.max(least, Math.min(1, one.p * (known.length - i)));
    one.adjusted = least;
  });
  for (const one of found) one.outcome = outcome(one, ground);
  return found;
}

function stand(ground, pair, { laid, missing, price }) {
  const total = sum(laid);
  if (!(total > 0)) return null;
  const summed = pair.spread ? weigh(pair, laid) : { d: dot(laid, pair.d) / total, se: NaN, df: NaN, w: laid.map((l) => l / total) };
  const merit = { ...summed, se: summed.se > 0 ? summed.se : NaN, allowance: dot(summed.w, pair.allowance), single: dot(summed.w, pair.single.map(Number)) > 0 };
  const paid = paidLog(ground, pair);
  const share = paid === null ? 0 : price / (total + price);
  const one = share > 0 ? priced(merit, share, paid) : merit;
  const shown = half(one, ground.shown), held = one.single ? NaN : half(one, ground.held);
  const p = one.single ? NaN : Math.min(1, tail(one));
  const called = value(ground, merit, paid, missing);
  const bridged = [...new Set(pair.bridged.filter(([test]) => pair.test.some((own, i) => own === test && laid[i] > 0)).map(([, name]) => name))];
  return { a: pair.a, b: pair.b, bridged, ...one, shown, bounds: held + one.allowance, p, missing, value: called, open: called === LEVEL && isOpen(ground, pair, merit) };
}

const half = (one, level) => (one.df > 0 ? one.se * quantile(level, one.df) : NaN);

// Two-sided p against every true difference within the allowance; where it is larger, all of it.
function tail(one) {
  const beyond = (Math.abs(one.d) - one.allowance) / one.se;
  return beyond >= 0 ? bothTails(beyond, one.df) : 2 - bothTails(beyond, one.df);
}

function priced(merit, share, paid) {
  const rest = 1 - share;
  return { ...merit, d: rest * merit.d - share * paid, se: rest * merit.se, allowance: rest * merit.allowance, single: merit.single && rest > 0 };
}

function paidLog(ground, pair) {
  const [a, b] = [ground.prices[pair.a], ground.prices[pair.b]];
  return a === undefined || b === undefined ? null : Math.log(a + ground.fixed) - Math.log(b + ground.fixed);
}

function value(ground, merit, paid, missing) {
  const band = half(merit, ground.shown) + merit.allowance;
  if (paid === null || !Number.isFinite(band) || missing > ground.most_missing) return "unknown";
  if (paid > merit.d + band) return "b";
  return paid < merit.d - band ? "a" : LEVEL;
}

// Whether a may be worth more or less than its price by more than the margin: money/break_even.py, is_near.
function isOpen(ground, pair, merit) {
  const band = half(merit, ground.shown) + merit.allowance, [now, other] = [ground.prices[pair.a], ground.prices[pair.b]];
  const [low, high] = [-1, 1].map((side) => (other + ground.fixed) * Math.exp(merit.d + side * band) - ground.fixed);
  const margin = Math.expm1(ground.margin);
  return !(now * (1 - margin) < low && high < now * (1 + margin));
}

function outcome(one, ground) {
  if (one.missing > ground.most_missing) return UNSETTLED;
  if (Math.abs(one.d) + one.bounds < ground.margin) return LEVEL;
  if (one.adjusted < ground.alpha && one.d !== 0) return one.d > 0 ? AHEAD : BEHIND;
  return UNSETTLED;
}
