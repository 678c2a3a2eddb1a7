// Files and folders dropped anywhere on a page, or chosen in its form: one request a file, with progress and stop.
const MOST_BYTES = 536870912; // as the workbench has it (desk/logs/dropping.py)
const STUDY_FILE = "study.toml";

let at = null; // what is on its way now
let after = []; // files that came meanwhile, and what became of those before them
let leaving = 0; // the timer after which nobody drags over the page any more

// ---- what was dropped -------------------------------------------------------------------------

function holdsFiles(event) {
  return Array.from(event.dataTransfer?.types ?? []).includes("Files");
}

async function everything(transfer) {
  // Entries have to be taken at once: the list is emptied when the event is over.
  const entries = Array.from(transfer.items, (item) => item.webkitGetAsEntry?.()).filter(Boolean);
  if (!entries.length) return Array.from(transfer.files, (file) => ({ path: file.name, file }));
  const found = [];
  for (const entry of entries) await walk(entry, found);
  return found;
}

async function walk(entry, found) {
  if (entry.name.startsWith(".")) return; // what systems put beside files by themselves
  const path = entry.fullPath.replace(/^\/+/, "");
  if (entry.isFile) {
    const file = await new Promise((done) => entry.file(done, () => done(null)));
    found.push({ path, file });
    return;
  }
  const reader = entry.createReader();
  for (;;) {
    const some = await new Promise((done) => reader.readEntries(done, () => done([])));
    if (!some.length) return;
    for (const each of some) await walk(each, found);
  }
}

function chosen(input) {
  return Array.from(input.files, (file) => ({ path: file.webkitRelativePath || file.name, file })).filter(
    ({ path }) => !path.split("/").some((step) => step.startsWith(".")),
  );
}

// ---- what is shown ----------------------------------------------------------------------------

function make(kind, about = {}, ...inside) {
  const made = document.createElement(kind);
  for (const [name, value] of Object.entries(about)) made.setAttribute(name, value);
  made.append(...inside);
  return made;
}

function tray(told) {
  document.querySelector(".tray")?.remove();
  const says = make("span", { id: "tray-says", role: "status" }, "Looking at what was dropped");
  const bar = make("progress", { max: "1", value: "0", "aria-labelledby": "tray-says" });
  const button = make("button", { class: "btn", type: "button" }, "Stop");
  const work = make("div", { class: "work" }, says, bar, button);
  const list = make("ul", { class: "came" }, ...told);
  const box = make("aside", { class: "tray", "aria-label": "Bringing files in" }, work, list);
  document.body.append(box);
  return { box, says, bar, button, list };
}

function tell(list, { name, sort, words, address }) {
  const line = make("li", { class: sort }, make("b", {}, name), " ", make("span", {}, words));
  if (address) line.append(" ", make("a", { href: address }, "Look at it", make("span", { class: "vh" }, `: ${name}`)));
  list.append(line);
}

function left(bytes, whole, since) {
  const seconds = (performance.now() - since) / 1000;
  if (seconds < 2 || !bytes) return "";
  const more = (seconds / bytes) * (whole - bytes);
  if (more < 90) return `, about ${Math.max(1, Math.round(more))} s left`;
  return `, about ${Math.round(more / 60)} min left`;
}

const SORTS = { filed: "filed", known: "here already", waits: "in the inbox", refused: "refused", begun: "being unpacked" };

function summary(results, many, stopped) {
  const counts = Object.entries(SORTS)
    .map(([sort, words]) => [results.filter((one) => one.sort === sort).length, words])
    .filter(([n]) => n)
    .map(([n, words]) => `${n} ${words}`);
  const files = `${many} file${many === 1 ? "" : "s"}`;
  if (stopped) return `Stopped: ${results.length} of ${many} read${counts.length ? `, ${counts.join(", ")}` : ""}.`;
  return counts.length ? `${files}: ${counts.join(", ")}.` : "There was no file in it.";
}

// ---- bringing it in ---------------------------------------------------------------------------

function studyHere() {
  const found = location.pathname.match(/^\/studies\/([^/]+)/);
  return found && found[1] !== "new" ? decodeURIComponent(found[1]) : "";
}

async function ask(address, path, file, signal) {
  const form = new FormData();
  form.append("study", studyHere());
  if (file) form.append("files", file, path);
  const answer = await fetch(address, { method: "POST", body: form, headers: { Accept: "application/json" }, signal });
  const kind = answer.headers.get("content-type") ?? "";
  const body = kind.includes("json") ? await answer.json() : { words: (await answer.text()).slice(0, 300) };
  if (!answer.ok) throw new Error(body.words || "The workbench did not take it.");
  return body;
}

function tooLarge(file) {
  const mib = Math.round(file.size / 1048576).toLocaleString("en");
  return `It holds ${mib} MiB, past the limit of ${MOST_BYTES / 1048576} MiB for a drop; bring it in from the terminal: evenhand import.`;
}

async function one({ path, file }, signal) {
  if (!file) return { name: path, sort: "refused", words: "It could not be read; look at its rights." };
  if (file.size > MOST_BYTES) return { name: path, sort: "refused", words: tooLarge(file) };
  try {
    return (await ask("/drop", path, file, signal))[0];
  } catch (trouble) {
    if (signal.aborted) throw trouble;
    const gone = trouble instanceof TypeError;
    const words = gone ? "It could not be sent: it was changed meanwhile, or the workbench is closed." : trouble.message;
    return { name: path, sort: "refused", words };
  }
}

// As they were made, since the runs of a plan come in that order; those of one moment by their names, 2 before 10.
const byName = new Intl.Collator("en", { numeric: true }).compare;

function inTurn(files) {
  const made = ({ file }) => file?.lastModified ?? 0;
  return files.toSorted((one, other) => made(one) - made(other) || byName(one.path, other.path));
}

async function logs(files, shown, signal) {
  const since = performance.now();
  const whole = files.reduce((sum, { file }) => sum + (file?.size ?? 0) + 1, 0);
  const results = [];
  let bytes = 0;
  shown.bar.max = whole;
  try {
    for (const each of inTurn(files)) {
      shown.says.textContent = `${results.length} of ${files.length} read${left(bytes, whole, since)}`;
      const result = await one(each, signal);
      bytes += (each.file?.size ?? 0) + 1;
      shown.bar.value = bytes;
      results.push(result);
      if (result.sort !== "filed") tell(shown.list, result);
    }
  } catch (trouble) {
    if (!signal.aborted) throw trouble;
  }
  return results;
}

async function wholeStudy(root, files, shown, signal) {
  const below = new Map(files.map(({ path, file }) => [path.slice(root.length), file]));
  const begun = await ask("/drop/study", STUDY_FILE, below.get(STUDY_FILE), signal);
  const lacks = begun.wanted.filter((name) => !below.has(name));
  if (lacks.length) {
    const some = lacks.slice(0, 5).join(", ") + (lacks.length > 5 ? " and more" : "");
    const are = lacks.length === 1 ? "file that the study file names is" : "files that the study file names are";
    throw new Error(`${lacks.length} ${are} not in the folder: ${some}. Put what is missing there, or take its runs out.`);
  }
  const names = [...begun.wanted, ...begun.also.filter((name) => below.has(name))];
  const since = performance.now();
  const whole = names.reduce((sum, name) => sum + below.get(name).size + 1, 0);
  let bytes = 0;
  shown.bar.max = whole;
  for (const [done, name] of names.entries()) {
    shown.says.textContent = `${begun.title}: ${done} of ${names.length} sent${left(bytes, whole, since)}`;
    const file = below.get(name);
    if (file.size > MOST_BYTES) throw new Error(`${name}: ${tooLarge(file)}`);
    await ask(`/drop/${begun.id}/file`, name, file, signal);
    bytes += file.size + 1;
    shown.bar.value = bytes;
  }
  return (await ask(`/drop/${begun.id}/begin`, "", null, signal)).address;
}

function roots(files) {
  const found = files
    .filter(({ path }) => path.split("/").pop() === STUDY_FILE)
    .map(({ path }) => path.slice(0, -STUDY_FILE.length));
  return found.sort((a, b) => b.length - a.length); // the innermost folder first
}

async function bring(files, told = []) {
  if (!files.length) return;
  if (at) return wait(files);
  at = new AbortController();
  const { signal } = at;
  const shown = tray(told);
  shown.button.onclick = () => at?.abort();
  const places = [];
  let many = files.length;
  try {
    let rest = files;
    for (const root of roots(files)) {
      const own = rest.filter(({ path }) => path.startsWith(root));
      rest = rest.filter(({ path }) => !path.startsWith(root));
      places.push(await wholeStudy(root, own, shown, signal));
    }
    many = rest.length;
    const results = rest.length ? await logs(rest, shown, signal) : [];
    places.push(...results.filter((one) => one.sort === "begun").map((one) => one.address));
    if (rest.length || !places.length) shown.says.textContent = summary(results, many, signal.aborted);
    end(shown, results, signal.aborted);
    if (places.length === 1 && results.length <= 1 && !at) location.assign(places[0]);
    else for (const address of places) tell(shown.list, { name: "A study or archive", sort: "begun", words: "is being read.", address });
  } catch (trouble) {
    shown.says.textContent = signal.aborted ? "Stopped. What was read by then is on the workbench." : "It could not be brought in.";
    if (!signal.aborted) tell(shown.list, { name: "", sort: "refused", words: trouble.message });
    end(shown, [], signal.aborted);
  }
}

// Files that come while others are on their way follow them; where those are stopped, nothing follows.
function wait(files) {
  after.push(...files);
  const line = document.querySelector(".tray .following") ?? make("p", { class: "following", role: "status" });
  line.textContent = `${after.length} more ${after.length === 1 ? "comes" : "come"} after these.`;
  document.querySelector(".tray")?.append(line);
}

function end(shown, results, stopped) {
  at = null;
  const follow = after;
  after = [];
  shown.box.querySelector(".following")?.remove();
  if (stopped) for (const { path } of follow) tell(shown.list, { name: path, sort: "refused", words: "It was not read: those before it were stopped." });
  else if (follow.length) bring(follow, [...shown.list.children]);
  if (at) return;
  shown.bar.hidden = true;
  shown.button.textContent = "Close";
  shown.button.onclick = () => shown.box.remove();
  if (results.some((one) => one.sort === "waits")) {
    shown.box.append(make("p", {}, make("a", { href: "/inbox" }, "Say in the inbox what waits there")));
  }
  document.body.dispatchEvent(new CustomEvent("changed"));
}

// ---- the page ---------------------------------------------------------------------------------

function over(yes) {
  document.documentElement.classList.toggle("dropping", yes);
  for (const zone of document.querySelectorAll(".drop")) zone.classList.toggle("over", yes);
  clearTimeout(leaving);
  // Browsers tell several times a second that something is dragged over a page, but not always that it left.
  if (yes) leaving = setTimeout(over, 1000, false);
}

for (const kind of ["dragenter", "dragover"]) {
  addEventListener(kind, (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    event.dataTransfer.dropEffect = "copy";
    over(true);
  });
}

addEventListener("dragleave", (event) => {
  if (event.relatedTarget === null) over(false);
});

addEventListener("drop", (event) => {
  over(false);
  if (!holdsFiles(event) || event.target.closest?.("input[type=file]")) return;
  event.preventDefault();
  everything(event.dataTransfer).then(bring);
});

addEventListener("change", (event) => {
  const input = event.target;
  if (!(input instanceof HTMLInputElement) || input.type !== "file" || !input.closest(".drop")) return;
  bring(chosen(input)).finally(() => (input.value = ""));
});

addEventListener("beforeunload", (event) => {
  if (at) event.preventDefault();
});
