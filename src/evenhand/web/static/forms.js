// A form that could not be sent says so where it stands; what was typed stays in it.
function told(event) {
  const form = event.target.closest?.("form.form");
  const place = event.target === form && form.querySelector(".whole");
  if (!place) return;
  const status = event.detail?.ctx?.response?.status;
  const notice = document.createElement("div");
  notice.className = "fault";
  notice.setAttribute("role", "alert");
  const head = document.createElement("b");
  head.textContent = "Not saved.";
  const words = document.createElement("p");
  words.textContent = status
    ? `The workbench answered with an error (${status}). What you typed is still here: save it again in a moment.`
    : "The workbench does not answer. What you typed is still here: see that Evenhand is running, and save it again.";
  notice.append(head, words);
  place.replaceChildren(notice);
  place.scrollIntoView({ block: "nearest" });
}

document.addEventListener("htmx:response:error", (event) => {
  if (event.detail?.ctx?.response?.status >= 500) told(event);
});
document.addEventListener("htmx:error", told);

// What a pattern took was said of other words once the pattern or the output is edited; trying takes its time.
const OF_TRIAL = '[name="script_score"], [name="script_sample"]';

function said(form, words) {
  const sample = form?.querySelector('[name="script_sample"]');
  const place = sample && document.getElementById(`${sample.id}-says`);
  if (!place || (!words && !place.childElementCount)) return;
  const line = document.createElement("p");
  line.className = "hint";
  line.textContent = words;
  place.replaceChildren(...(words ? [line] : []));
}

document.addEventListener("input", (event) => {
  if (event.target.matches?.(OF_TRIAL)) said(event.target.form, "");
});

document.addEventListener("htmx:before:request", (event) => {
  const button = event.target.closest?.("button[formaction]");
  if (button) said(button.form, "Being tried on this output.");
});

function untried(event) {
  const button = event.target.closest?.("button[formaction]");
  if (button) said(button.form, "It was not tried: the workbench did not answer as it should. Try it again in a moment.");
}

document.addEventListener("htmx:response:error", untried);
document.addEventListener("htmx:error", untried);
