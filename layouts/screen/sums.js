"use strict";
/* Exact sums with fractions of whole numbers; nothing here ever rounds by accident. */
const Exact = {
  of(text) {
    const [n, d] = String(text).split("/");
    return Exact.make(BigInt(n), BigInt(d || 1));
  },
  make(n, d) {
    if (d < 0n) { n = -n; d = -d; }
    let a = n < 0n ? -n : n, b = d;
    while (b) [a, b] = [b, a % b];
    return a > 1n ? { n: n / a, d: d / a } : { n, d };
  },
  add: (a, b) => Exact.make(a.n * b.d + b.n * a.d, a.d * b.d),
  sub: (a, b) => Exact.make(a.n * b.d - b.n * a.d, a.d * b.d),
  mul: (a, b) => Exact.make(a.n * b.n, a.d * b.d),
  div: (a, b) => Exact.make(a.n * b.d, a.d * b.n),
  above: (a, b) => a.n * b.d > b.n * a.d,
  neg: (a) => ({ n: -a.n, d: a.d }),
  abs: (a) => ({ n: a.n < 0n ? -a.n : a.n, d: a.d }),
  /* Whole number below. BigInt division cuts toward zero, so a negative rest goes one further. */
  floor: (a) => a.n / a.d - (a.n % a.d < 0n ? 1n : 0n),
  down: (a, step) => Exact.mul({ n: Exact.floor(Exact.div(a, step)), d: 1n }, step),
  up: (a, step) => Exact.mul({ n: -Exact.floor(Exact.div({ n: -a.n, d: a.d }, step)), d: 1n }, step),
  nearest: (a, step) => Exact.down(Exact.add(a, Exact.div(step, Exact.of(2))), step),
  /* A value on the decimal grid as text. */
  show(a, decimals) {
    const scaled = Exact.abs(Exact.mul(a, { n: 10n ** BigInt(decimals), d: 1n })).n.toString().padStart(decimals + 1, "0");
    const sign = a.n < 0n ? "-" : "";
    return decimals ? `${sign}${scaled.slice(0, -decimals)}.${scaled.slice(-decimals)}` : sign + scaled;
  },
  /* What a hand types: 12, 12.5, 1/4, 1-1/4, 1 1/4, 1+1/4. Nothing for anything else. */
  read(typed) {
    const text = typed.trim();
    if (/^-?\d{1,6}(\.\d{1,6})?$/.test(text)) {
      const [whole, rest = ""] = text.split(".");
      return Exact.make(BigInt(whole + rest), 10n ** BigInt(rest.length));
    }
    const parts = /^(?:(\d{1,6})[-+ ])?(\d{1,4})\/([1-9]\d{0,3})$/.exec(text);
    return parts ? Exact.add(Exact.of(parts[1] || 0), Exact.of(`${parts[2]}/${parts[3]}`)) : null;
  },
  /* A number that can take a sign before it: decimals, where a fraction was typed. */
  decimal: (value, spelled) => (spelled.includes("/") ? Exact.show(value, 6) : spelled),
  /* The same typed text in the one spelling that a specification uses: 1+1/4. */
  spelling: (typed) => typed.trim().replace(/^(\d+)[- ](\d+\/)/, "$1+$2"),
};

const Sums = {
  /* Marks of the wrench that keep the nut inside its window for the drag that was read. */
  setting(w, dragRead) {
    const drag = dragRead || Exact.of(0), ratio = Exact.of(w.ratio), kept = Exact.of(w.kept), mark = Exact.of(w.mark);
    if (drag.n < 0n) return { cannot: "Drag is never less than nothing." };
    if (w.drag && Exact.above(drag, Exact.of(w.drag.most))) return { cannot: "Stop. At the nut the drag may be more than the maker allows." };
    /* What is read may be a little less or more at the nut. */
    const [less, more] = (w.drag ? w.drag.atNut : ["0", "0"]).map((each) => Exact.mul(drag, Exact.of(each)));
    const end = (torque, running) => Exact.mul(Exact.add(Exact.of(torque), running), ratio);
    const least = Exact.div(end(w.low, more), kept), most = Exact.mul(end(w.high, less), kept);
    const low = Exact.up(least, mark), high = Exact.down(most, mark);
    if (Exact.above(least, most) || Exact.above(low, high)) return { cannot: "Stop. This wrench has no mark inside the window." };
    if (Exact.above(Exact.of(w.range[0]), low) || Exact.above(high, Exact.of(w.range[1]))) return { cannot: "Stop. The setting is outside the range of this wrench." };
    return { low: Exact.show(low, w.decimals), high: Exact.show(high, w.decimals) };
  },
  /* Mass of a slug from its length. */
  mass(lead, length) {
    const grams = Exact.mul(length, Exact.of(lead.gramsPerLength));
    return { grams: Exact.show(Exact.nearest(grams, Exact.of("1/10")), 1), outside: Sums.tooMuch(lead, grams, length) };
  },
  /* Length of a slug from the mass it must have. */
  length(lead, grams) {
    const length = Exact.div(grams, Exact.of(lead.gramsPerLength));
    const mark = Exact.make(1n, 10n ** BigInt(lead.decimals));
    return { length: Exact.show(Exact.nearest(length, mark), lead.decimals), outside: Sums.tooMuch(lead, grams, length) };
  },
  tooMuch(lead, grams, length) {
    if (grams.n <= 0n) return "A mass is more than nothing.";
    if (Exact.above(grams, Exact.of(lead.mostGrams))) return `Stop. More lead than is allowed: at most ${lead.mostShown} in one tip.`;
    if (Exact.above(length, Exact.of(lead.depth))) return `Stop. Longer than the hole: ${lead.depthShown}.`;
    return "";
  },
  /* Three runs with a trial mass: the amplitudes as it is, with it in A, with it in B. */
  threeRuns(trial, asIs, inA, inB) {
    const all = [asIs, inA, inB], of = Exact.of, square = (a) => Exact.mul(a, a), larger = (a, b) => (Exact.above(a, b) ? a : b);
    if (all.some((one) => one.n < 0n)) return { cannot: "A reading is never less than nothing." };
    const spread = Exact.mul(of(trial.scatter), all.reduce(larger)), sum = Exact.add(square(inA), square(inB));
    const squared = Exact.sub(Exact.div(sum, of(2)), square(asIs)), least = Exact.mul(of(trial.guard), spread);
    /* Against the scatter of the sum itself: both sides squared, so that no root is drawn. */
    const unsure = Exact.mul(square(least), Exact.add(sum, Exact.mul(of(4), square(asIs))));
    if (squared.n <= 0n || !Exact.above(square(squared), unsure)) return { cannot: trial.lost };
    if (!Exact.above(Exact.abs(Exact.sub(inA, inB)), Exact.mul(of(trial.different), spread))) return { cannot: trial.alike };
    const wanted = Exact.div(Exact.mul(of(trial.grams), Exact.sub(square(inB), square(inA))), Exact.mul(of(4), squared));
    const grams = Exact.abs(wanted), tip = wanted.n < 0n ? "B" : "A";
    return { tip, grams: Exact.show(Exact.down(grams, of("1/10")), 1), wanted: grams, tooMuch: Exact.above(grams, of(trial.mostGrams)) };
  },
};
