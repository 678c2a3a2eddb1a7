// Keeps the runs on show up to date, leaves alone what somebody is filling in, and leads the keyboard on.
const news = () => document.getElementById("news");
const root = () => document.getElementById("runs");

function filling() {
  const here = root();
  if (!here) return false;
  if (here.querySelector("details.ask[open]")) return true;
  return here.contains(document.activeElement) && document.activeElement.matches("textarea, select, input");
}

async function refresh() {
  const here = root();
  if (!here) return;
  if (filling()) {
    if (news()) news().hidden = false;
    return;
  }
  await htmx.ajax("GET", here.dataset.live, {
    source: here, target: "#runs", select: "#runs", selectOOB: "#strip,#rail", swap: "outerMorph",
  });
}

// A form that was opened while newer runs were on their way stays as well.
document.body.addEventListener("htmx:before:swap", (event) => {
  if (event.detail?.ctx?.sourceElement !== root() || !filling()) return;
  event.preventDefault();
  if (news()) news().hidden = false;
});

let due = 0;
document.body.addEventListener("changed", () => {
  clearTimeout(due);
  due = setTimeout(refresh, 300);
});

// After a decision the run has moved on: the bar that says so takes the focus, and Undo is the next thing.
document.body.addEventListener("htmx:after:swap", () => {
  const bad = document.querySelector("#runs [aria-invalid=true], #runs .not-stored");
  const told = bad ?? document.getElementById("done");
  // Other swaps may come in between: it is told once, as soon as it stands there.
  if (!deciding || !told) return;
  deciding = false;
  told.focus({ preventScroll: false });
  told.scrollIntoView({ block: "nearest" });
});

let deciding = false;
document.body.addEventListener("submit", (event) => {
  deciding = Boolean(event.target.closest("#runs"));
}, true);

document.body.addEventListener("toggle", (event) => {
  if (event.target.matches?.("details.ask[open]")) event.target.querySelector(".panel").scrollIntoView({ block: "nearest" });
}, true);

document.body.addEventListener("keydown", (event) => {
  const open = event.target.closest?.("details.ask[open]");
  if (event.key !== "Escape" || !open) return;
  open.open = false;
  open.querySelector("summary").focus();
});
