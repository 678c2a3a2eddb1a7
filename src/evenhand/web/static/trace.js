// Frames over time: drawn by uPlot, read out in words, moved through by pointer or keyboard. The server thins.
import uPlot from "/static/vendor/uplot-1.6.32/uPlot.esm.js";
import { place, trimming, veil } from "/static/trim.js";

const HEIGHT = 260;
const SENSOR_HEIGHT = 120;

for (const figure of document.querySelectorAll(".traced[data-trace]")) show(figure);

async function show(figure) {
  const answer = await fetch(figure.dataset.trace);
  if (!answer.ok) {
    figure.append(words("p", "quiet", "The frames could not be brought here. Load the page again."));
    return;
  }
  const whole = await answer.json();
  const view = { figure, whole, shown: whole, places: whole.places, at: 0 };
  build(view);
  draw(view);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => draw(view));
  new ResizeObserver(() => fit(view)).observe(figure);
}

function build(view) {
  const { figure, whole } = view;
  view.plot = words("div", "plot", "");
  view.plot.setAttribute("role", "img");
  view.plot.setAttribute("aria-label", said(view));
  const id = `reading-${whole.run}`;
  const tools = words("div", "tools", "");
  const slider = words("div", "slider", "");
  slider.innerHTML = `<label for="${id}">Read at</label><output for="${id}"></output><input id="${id}" type="range" min="0" max="0" value="0" step="1">`;
  [view.label, view.output, view.range] = slider.children;
  view.range.addEventListener("input", () => read(view, Number(view.range.value)));
  tools.append(
    slider,
    button("Nearer", () => near(view, 0.4)),
    button("Farther", () => near(view, 2.5)),
    button("Whole run", () => part(view, 0, null)),
  );
  view.reading = words("p", "read", "");
  view.reading.id = `${id}-says`;
  view.reading.setAttribute("aria-live", "polite");
  view.range.setAttribute("aria-describedby", view.reading.id);
  view.below = words("div", "sensors", "");
  // What is drawn is an image to those who hear the page; edges that can be moved lie over it, not in it.
  view.over = words("div", "plot-over", "");
  view.over.append(view.plot);
  figure.append(view.over, words("p", "small quiet", caption(view)), tools, view.reading);
  if (whole.sensors.length) figure.append(sensorFold(view));
  view.trim = trimming(view);
}

function sensorFold(view) {
  const fold = words("details", "fold", "");
  fold.append(words("summary", "", `What sensors read meanwhile: ${view.whole.sensors.length}`), view.below);
  // A closed fold has no width to draw for.
  fold.addEventListener("toggle", () => fold.open && !view.sensors && sensors(view, colours(view.figure)));
  return fold;
}

function said({ whole, figure }) {
  const places = whole.places.map((p) => `${p.title}, ${whole2(p.from_s)} to ${whole2(p.to_s)} s`);
  const siblings = whole.siblings ? ` Siblings: ${whole.siblings}.` : "";
  return `${figure.dataset.words}, ${whole2(whole.duration_s)} s.${siblings} ${places.join("; ")}`.trim();
}

function caption({ whole }) {
  const grey = whole.siblings === 1 ? " Grey: one sibling." : whole.siblings ? ` Grey: ${whole.siblings} siblings.` : "";
  const red = whole.places.length ? " Marked: where something was found." : "";
  return `Time of every frame: shortest to longest, column by column.${grey}${red} Drag over a part to see it nearer.`;
}

function draw(view) {
  const { shown, figure } = view;
  view.uplot?.destroy();
  const ink = colours(figure);
  const data = [shown.time_s, shown.siblings_low_ms, shown.siblings_high_ms, shown.low_ms, shown.high_ms];
  view.uplot = new uPlot(options(view, ink), data, view.plot);
  view.range.max = String(shown.time_s.length - 1);
  if (view.trim) place(view.trim, false);
  if (view.sensors) {
    view.below.replaceChildren();
    sensors(view, ink);
  }
}

function options(view, ink) {
  const { shown } = view;
  const line = (stroke, width) => ({ stroke, width, points: { show: false }, spanGaps: false });
  return {
    width: wide(view),
    height: HEIGHT,
    legend: { show: false },
    cursor: { drag: { x: true, y: false, setScale: false }, points: { show: false }, y: false },
    scales: { x: { time: false, range: (_, low, high) => [low, high] }, y: { range: () => limits(shown) } },
    axes: axes(ink, "s", "ms"),
    series: [{}, line(ink.grey, 0.5), line(ink.grey, 0.5), line(ink.build, 1.2), line(ink.build, 1.2)],
    bands: [{ series: [2, 1], fill: ink.pale }, { series: [4, 3], fill: ink.build }],
    hooks: {
      ready: [(plot) => {
        view.uplot = plot;
        read(view, Math.min(view.at, shown.time_s.length - 1));
      }],
      drawClear: [(plot) => mark(plot, view.places, ink)],
      draw: [(plot) => view.trim && veil(view.trim, plot, ink)],
      setCursor: [(plot) => plot.cursor.event && plot.cursor.idx != null && plot.cursor.left >= 0 && read(view, plot.cursor.idx, true)],
      setSelect: [(plot) => chosen(view, plot)],
    },
  };
}

function axes(ink, x, y) {
  const shared = { stroke: ink.words, font: "13px Asap, sans-serif", grid: { stroke: ink.line, width: 1 }, ticks: { stroke: ink.line, width: 1 } };
  const unit = (what) => (_, values) => values.map((v, i) => (i === values.length - 1 ? `${v} ${what}` : `${v}`));
  return [{ ...shared, grid: { show: false }, values: unit(x) }, { ...shared, size: 84, values: unit(y) }];
}

// The scale ends a little above the usual frames; the few longest run off its top and are told in words.
function limits(shown) {
  const highs = [...shown.high_ms, ...shown.siblings_high_ms].filter((v) => v !== null).sort((a, b) => a - b);
  const lows = [...shown.low_ms, ...shown.siblings_low_ms].filter((v) => v !== null);
  const usual = highs[Math.floor(0.97 * (highs.length - 1))] ?? 1;
  const low = Math.min(...lows, usual);
  const high = Math.min(highs.at(-1) ?? 1, 1.6 * usual);
  return [Math.max(0, low - 0.1 * (high - low)), high + 0.05 * (high - low)];
}

function mark(plot, places, ink) {
  const { ctx, bbox } = plot;
  ctx.save();
  // Where most of the run is marked a ground would hide more than it shows.
  const share = places.reduce((sum, p) => sum + p.to_s - p.from_s, 0) / (plot.scales.x.max - plot.scales.x.min);
  for (const place of places) {
    const left = Math.max(bbox.left, plot.valToPos(place.from_s, "x", true));
    const right = Math.min(bbox.left + bbox.width, Math.max(plot.valToPos(place.to_s, "x", true), left + 2));
    if (right < bbox.left || left > bbox.left + bbox.width) continue;
    ctx.fillStyle = place.note ? ink.band : ink.rose;
    if (share < 1 / 3) ctx.fillRect(left, bbox.top, right - left, bbox.height);
    ctx.fillStyle = place.note ? ink.post : ink.red;
    for (const edge of [left, right]) ctx.fillRect(edge, bbox.top, devicePixelRatio, bbox.height);
    ctx.fillRect(left, bbox.top, right - left, 3 * devicePixelRatio);
  }
  ctx.restore();
}

function read(view, at, byPointer = false) {
  const { shown } = view;
  view.at = at;
  view.range.value = String(at);
  view.output.textContent = `${fixed(shown.time_s[at], 2)} s`;
  view.range.setAttribute("aria-valuetext", `${fixed(shown.time_s[at], 2)} seconds`);
  const own = span(shown.low_ms[at], shown.high_ms[at]);
  const others = span(shown.siblings_low_ms[at], shown.siblings_high_ms[at]);
  const here = view.places.filter((p) => p.from_s <= shown.time_s[at] && shown.time_s[at] <= p.to_s);
  const found = [...new Set(here.map((p) => p.title))].join(", ");
  view.reading.textContent = `${own ? `Frames of ${own}` : "This run has ended"}${others ? `; siblings ${others}` : ""}${found ? `. ${found}` : ""}.`;
  if (!byPointer) {
    const left = view.uplot.valToPos(shown.time_s[at], "x");
    view.uplot.setCursor({ left, top: 1 }, false);
  }
}

function span(low, high) {
  if (low === null || high === null) return "";
  const [a, b] = [fixed(low, 2), fixed(high, 2)];
  return a === b ? `${a} ms` : `${a} to ${b} ms`;
}

function chosen(view, plot) {
  const { left, width } = plot.select;
  if (width < 6) return;
  part(view, plot.posToVal(left, "x"), plot.posToVal(left + width, "x"));
}

function near(view, share) {
  const times = view.shown.time_s;
  const middle = times[view.at];
  const half = ((times.at(-1) - times[0]) * share) / 2;
  const low = Math.max(0, middle - half);
  const high = Math.min(view.whole.whole_s, middle + half);
  part(view, low, low <= 0 && high >= view.whole.whole_s ? null : high);
}

async function part(view, from, to) {
  if (to === null) {
    view.shown = view.whole;
  } else {
    const answer = await fetch(`${view.figure.dataset.trace}?from_s=${from.toFixed(4)}&to_s=${Math.max(to, from + 0.05).toFixed(4)}`);
    if (!answer.ok) return;
    view.shown = await answer.json();
  }
  view.at = Math.floor(view.shown.time_s.length / 2);
  draw(view);
}

function sensors(view, ink) {
  view.sensors = view.whole.sensors.map((sensor) => {
    const block = words("div", "sensor", "");
    const known = sensor.values.filter((v) => v !== null);
    const range = known.length ? `${short(Math.min(...known))} to ${short(Math.max(...known))} ${sensor.unit}` : "no reading";
    block.append(words("p", "small", `${sensor.words}: ${range}`));
    const plot = words("div", "plot", "");
    plot.setAttribute("role", "img");
    plot.setAttribute("aria-label", `${sensor.words} over the run, ${range}`);
    block.append(plot);
    view.below.append(block);
    const made = { width: wide(view), height: SENSOR_HEIGHT, legend: { show: false }, cursor: { show: false }, scales: { x: { time: false, range: () => [0, view.whole.whole_s] } }, axes: axes(ink, "s", sensor.unit), series: [{}, { stroke: ink.build, width: 1.4, points: { show: false } }] };
    return new uPlot(made, [sensor.time_s, sensor.values], plot);
  });
}

function fit(view) {
  const width = wide(view);
  view.uplot?.setSize({ width, height: HEIGHT });
  if (view.trim) place(view.trim, false);
  for (const plot of view.sensors ?? []) plot.setSize({ width, height: SENSOR_HEIGHT });
}

const wide = (view) => Math.max(280, Math.floor(view.figure.clientWidth));

// Colours come from the page, so that light, dark and forced colours all hold here as well.
function colours(figure) {
  const probe = words("span", "", "");
  figure.append(probe);
  const tone = (token) => {
    probe.style.color = `var(--${token})`;
    return getComputedStyle(probe).color;
  };
  const found = {
    build: tone(`b${figure.dataset.slot}`), grey: tone("grey"), pale: faint(tone("grey"), 0.45), line: tone("line"), words: tone("ink2"),
    rose: tone("fault-bg"), red: tone("fault-edge"), band: tone("band"), post: tone("post"),
  };
  probe.remove();
  return found;
}

const faint = (colour, share) => colour.replace(/^rgb\((.*)\)$/, `rgba($1, ${share})`);
const minus = (text) => text.replace("-", "\u2212");
const fixed = (value, digits) => minus(value.toFixed(digits));
const short = (value) => minus(String(Number(value.toPrecision(4))));
const whole2 = (value) => short(Math.round(value * 10) / 10);

function words(tag, kind, text) {
  const made = document.createElement(tag);
  if (kind) made.className = kind;
  made.textContent = text;
  return made;
}

function button(label, act) {
  const made = words("button", "btn", label);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}
