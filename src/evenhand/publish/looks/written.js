// Finished sentences with numbers as the page writes its own; names stay as they are: publish/written.py.
const SIGNS = { point: [",", "."], comma: [".", ","], spaced: ["\u202f", ","] };
const NUMBER = /(?<![\p{L}\p{N}_.,/#:])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?![\p{L}\p{N}_]|[.,]\d)/gu;

export function written(text, numbers, keep = []) {
  if (numbers === "point") return text;
  const [grouping, point] = SIGNS[numbers];
  const rewritten = (piece) => piece.replace(NUMBER, (found) => found.replace(/[.,]/g, (sign) => (sign === "," ? grouping : point)));
  const own = keep.filter((name) => /\d/.test(name)).sort((a, b) => b.length - a.length).map((name) => name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  if (!own.length) return rewritten(text);
  return text.split(new RegExp(`(?<![\\p{L}\\p{N}_])(${own.join("|")})(?![\\p{L}\\p{N}_])`, "u")).map((piece, at) => (at % 2 ? piece : rewritten(piece))).join("");
}
