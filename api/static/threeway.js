// Three texts line by line: what one began with, what another made of it, what
// one made of it oneself.

// common gives, for two lists of lines, the pairs of indices of a longest common
// subsequence; what is alike at both ends is set apart first.
function common(a, b) {
  let from = 0, endA = a.length, endB = b.length;
  const pairs = [], tail = [];
  while (from < endA && from < endB && a[from] === b[from]) pairs.push([from, from++]);
  while (endA > from && endB > from && a[endA - 1] === b[endB - 1]) tail.unshift([--endA, --endB]);
  const wide = endB - from + 1, best = new Uint32Array((endA - from + 1) * wide);
  for (let i = endA - from - 1; i >= 0; i--) {
    for (let j = endB - from - 1; j >= 0; j--) {
      best[i * wide + j] = a[from + i] === b[from + j] ? best[(i + 1) * wide + j + 1] + 1 : Math.max(best[(i + 1) * wide + j], best[i * wide + j + 1]);
    }
  }
  for (let i = 0, j = 0; i < endA - from && j < endB - from;) {
    if (a[from + i] === b[from + j]) pairs.push([from + i++, from + j++]);
    else if (best[(i + 1) * wide + j] >= best[i * wide + j + 1]) i++;
    else j++;
  }
  return pairs.concat(tail);
}

// blocks cuts the three texts where all agree: {line, was, theirs, yours}, lists
// of lines, and line, the number of the first in what one began with. Those that
// all three share are left as one line each.
export function blocks(was, theirs, yours) {
  const [o, t, y] = [was, theirs, yours].map((s) => s.split(/\r?\n/));
  const inT = new Map(common(o, t)), inY = new Map(common(o, y));
  const out = [];
  let at = [0, 0, 0];
  const cut = (to) => {
    const b = { line: at[0] + 1, was: o.slice(at[0], to[0]), theirs: t.slice(at[1], to[1]), yours: y.slice(at[2], to[2]) };
    if (b.was.length + b.theirs.length + b.yours.length) out.push(b);
  };
  for (let i = 0; i < o.length; i++) {
    if (!inT.has(i) || !inY.has(i)) continue;
    cut([i, inT.get(i), inY.get(i)]);
    out.push({ line: i + 1, was: [o[i]], theirs: [o[i]], yours: [o[i]] });
    at = [i + 1, inT.get(i) + 1, inY.get(i) + 1];
  }
  cut([o.length, t.length, y.length]);
  return out;
}

const same = (a, b) => a.length === b.length && a.every((x, i) => x === b[i]);

// who says who changed a block: "", "theirs", "yours", "agree" or "both".
export function who(b) {
  const byThem = !same(b.was, b.theirs), byYou = !same(b.was, b.yours);
  if (byThem && byYou) return same(b.theirs, b.yours) ? "agree" : "both";
  return byThem ? "theirs" : byYou ? "yours" : "";
}

// merged takes their lines where only they changed something, and yours else.
export const merged = (list) => list.flatMap((b) => who(b) === "theirs" ? b.theirs : b.yours).join("\n");
