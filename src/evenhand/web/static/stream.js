// The stream of changes: one that all windows of this browser share, or one of its own where a browser has no
// worker that can be shared, or none answers.
const PATIENCE_MS = 3000;

let hear = null; // who is told: what kind of word it is, and the count of changes
let own = null;
let patience = 0;
let port = shared();

function shared() {
  try {
    const worker = new SharedWorker("/static/shared_stream.js");
    worker.addEventListener("error", alone);
    worker.port.addEventListener("message", ({ data: { kind, count } }) => {
      clearTimeout(patience);
      if (port && kind !== "here") hear?.(kind, count);
    });
    worker.port.start();
    return worker.port;
  } catch {
    return null;
  }
}

// From now on a stream of its own.
export function alone() {
  clearTimeout(patience);
  if (!port) return;
  port.postMessage("close");
  port = null;
  if (hear) begin();
}

function begin() {
  own = new EventSource("/live");
  for (const kind of ["now", "changed"]) own.addEventListener(kind, (event) => hear?.(kind, event.data));
  own.addEventListener("error", () => own?.readyState === EventSource.CLOSED && hear?.("refused"));
}

export function listen(told) {
  hear = told;
  if (!port) return begin();
  patience = setTimeout(alone, PATIENCE_MS);
  port.postMessage("open");
}

export function leave() {
  hear = null;
  clearTimeout(patience);
  port?.postMessage("close");
  own?.close();
  own = null;
}
