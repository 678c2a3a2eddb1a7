// Numbers as a reader types them, read by how the page writes its own: publish/typed.py.
const SIGNS = { point: [",", "."], comma: [".", ","], spaced: ["\u202f", ","] };
const LONGEST = 30;

// { value, trouble }: a number from 0 on, or why nothing was read; null and "" where nothing was typed.
export function typed(text, numbers, decimals = null) {
  const plain = text.trim();
  if (!plain) return { value: null, trouble: "" };
  const signs = [...plain], told = signs.length <= LONGEST ? plain : `${signs.slice(0, LONGEST).join("")}…`;
  const [grouping, point] = SIGNS[numbers];
  const thousands = numbers === "spaced" ? "1 019" : `1${grouping}019`;
  const bare = plain.replace(/[\u00a0\u2007\u2009\u202f ]/g, " ");
  const group = numbers === "spaced" ? " " : `[ \\${grouping}]`;
  const shape = new RegExp(`^(?:([0-9]{1,3}(?:${group}[0-9]{3})+|[0-9]+)(?:\\${point}([0-9]*))?|\\${point}([0-9]+))$`);
  const found = shape.exec(bare);
  if (!found) {
    if ("-−–".includes(bare[0]) && shape.test(bare.slice(1).trim())) return { value: null, trouble: `“${told}” is below 0.` };
    return { value: null, trouble: `“${told}” was not understood: write ${thousands} for thousands and 0${point}32 for a part.` };
  }
  const whole = (found[1] || "0").replace(/[^0-9]/g, ""), rest = found[2] || found[3] || "";
  if (decimals !== null && rest.replace(/0+$/, "").length > decimals) {
    return { value: null, trouble: `“${told}” has smaller parts than this money: write ${thousands} for thousands.` };
  }
  return { value: Number(`${whole}.${rest || "0"}`), trouble: "" };
}
