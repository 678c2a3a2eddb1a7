// Shows the description of the interface for programs, from this site's own files.
const list = document.getElementById("reference");

// What the list opens while it is read has no names of its own for whoever hears the page.
function name() {
  for (const field of list.querySelectorAll("textarea.body-param__text:not([aria-label])"))
    field.setAttribute("aria-label", "Body of the request");
  for (const part of list.querySelectorAll("table[role=region]:not([aria-label])"))
    part.setAttribute("aria-label", `Answers: ${part.closest(".opblock").querySelector(".opblock-summary-path").textContent}, ${part.id}`);
}

new MutationObserver(name).observe(list, { childList: true, subtree: true });
SwaggerUIBundle({ url: "/api/openapi.json", dom_id: "#reference", validatorUrl: null, defaultModelsExpandDepth: 0 });
