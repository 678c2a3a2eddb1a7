// One stream of events a page. Parts that ask anew say so: hx-trigger="changed from:body".
// A page in the background lets go of its stream, since a browser keeps only a few open to one place.
let stream = null;
let seen = null;

function open() {
  if (stream || document.hidden) return;
  stream = new EventSource("/live");
  stream.addEventListener("now", (event) => {
    if (seen !== null && event.data !== seen) changed();
    seen = event.data;
  });
  stream.addEventListener("changed", (event) => {
    seen = event.data;
    changed();
  });
}

function close() {
  stream?.close();
  stream = null;
}

function changed() {
  document.body.dispatchEvent(new CustomEvent("changed"));
}

document.addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
window.addEventListener("pagehide", close);
window.addEventListener("pageshow", open);
