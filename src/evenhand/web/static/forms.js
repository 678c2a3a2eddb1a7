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
