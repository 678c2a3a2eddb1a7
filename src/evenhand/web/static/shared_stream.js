// One stream of changes for all windows of a browser, which keeps only six connections open to one place.
// Each window says when it opens and closes; it is told what the stream tells, or that the stream was refused.
const windows = new Set();
let stream = null;

function tell(kind, count) {
  for (const port of windows) port.postMessage({ kind, count });
}

function end() {
  stream?.close();
  stream = null;
}

// Anew for each window that opens: a stream begins with the count as it is then, which holds for all of them.
function begin() {
  end();
  const own = (stream = new EventSource("/live"));
  for (const kind of ["now", "changed"]) own.addEventListener(kind, (event) => tell(kind, event.data));
  own.addEventListener("error", () => {
    if (own !== stream || own.readyState !== EventSource.CLOSED) return;
    end();
    tell("refused");
  });
}

self.addEventListener("connect", ({ ports: [port] }) => {
  port.addEventListener("message", ({ data }) => {
    if (data === "open") {
      windows.add(port);
      begin();
      port.postMessage({ kind: "here" });
      return;
    }
    windows.delete(port);
    if (!windows.size) end();
  });
  port.start();
});
