// Says beside every weight what share of its list it is, while it is being typed. The server says the same.
function numberOf(text) {
  let plain = text.replace(/\s/g, "").replace("\u2212", "-");
  if (plain.includes(",")) {
    const at = plain.lastIndexOf(",");
    const decimals = plain.slice(at + 1);
    plain = decimals.includes(".")
      ? plain.replaceAll(",", "")
      : `${plain.slice(0, at).replaceAll(".", "")}.${decimals}`;
  }
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

function tell(list) {
  const inputs = [...list.querySelectorAll("[data-weight]")];
  const weights = inputs.map((input) => numberOf(input.value));
  const total = weights.reduce((sum, weight) => sum + Math.max(weight ?? 0, 0), 0);
  inputs.forEach((input, at) => {
    const said = input.closest(".weight")?.querySelector(".share");
    if (!said) return;
    const share = weights[at] === null || !(total > 0) ? null : (100 * Math.max(weights[at], 0)) / total;
    said.textContent = share === null ? "" : `${share.toFixed(1).replace(/\.0$/, "")}\u00a0%`;
  });
}

document.addEventListener("input", (event) => {
  const list = event.target.closest?.("[data-weights]");
  if (list) tell(list);
});

// A field that was looked at comes back with the share it had when it was sent; more may be typed since.
document.addEventListener("htmx:after:swap", () => {
  for (const list of document.querySelectorAll("[data-weights]")) tell(list);
});
