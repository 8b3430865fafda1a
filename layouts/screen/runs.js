/* What track runs tell, by the rules and the words that stand in the deck. Splits and changes are signed: plus for A.
   A run: { splits, scatter, applied }; applied is null where it is not known, undefined where nothing was said yet. */
const Runs = {
  signed: (size, blade) => (blade === "B" ? Exact.neg(size) : blade === "level" ? Exact.of(0) : size),
  sum: (all) => all.reduce(Exact.add, Exact.of(0)),
  mean: (all) => Exact.div(Runs.sum(all), Exact.of(all.length)),
  split: (run) => Runs.mean(run.splits),
  larger: (a, b) => (Exact.above(a, b) ? a : b),
  apart: (j, one, other, scatter) => Exact.above(Exact.abs(Exact.sub(one, other)), Exact.mul(Exact.of(j.different), scatter)),

  /* What the second of two splits says of the change between them. */
  judge(j, first, second, applied, rate, scatter) {
    const each = Exact.div(Exact.of(rate), applied), effect = Exact.mul(Exact.sub(first, second), each), spread = Exact.abs(Exact.mul(scatter, each));
    const times = (share) => Exact.mul(Exact.of(share), spread), gap = (known) => Exact.abs(Exact.sub(effect, Exact.of(known)));
    const nearest = () => {
      const [known, said] = j.known.reduce((best, one) => (Exact.above(gap(best[0]), gap(one[0])) || (!Exact.above(gap(one[0]), gap(best[0])) && one[1] < best[1]) ? one : best));
      return Exact.above(gap(known), Exact.of(j.near)) ? (effect.n < 0n ? j.wrong : j.stop) : said;
    };
    const said = Exact.above(effect, Exact.of(j.far)) && Exact.above(Exact.sub(effect, times(j.different)), Exact.of(1)) ? j.slip
      : Exact.add(effect, times(j.different)).n < 0n ? j.wrong
      : Exact.above(times(j.guard), Exact.of(j.near)) ? j.again : nearest();
    const tooMuch = said === j.again && Exact.above(Exact.sub(effect, times(j.guard)), Exact.of(j.much));
    return { said, confirm: j.confirm.includes(said) || effect.n < 0n || tooMuch };
  },

  /* The last change that a reading followed, judged; confirmed where a further reading agrees with that one. */
  second(deck, runs) {
    const moved = runs.slice(0, -1).map((run, at) => (run.applied && run.applied.n ? at : -1)).filter((at) => at >= 0);
    if (!moved.length || !deck.table) return null;
    const at = moved.at(-1), [first, second, last] = [runs[at], runs[at + 1], runs.at(-1)], coarser = (a, b) => Runs.larger(a.scatter, b.scatter);
    const found = Runs.judge(deck.judged, Runs.split(first), Runs.split(second), first.applied, deck.table.rate, coarser(first, second));
    const confirmed = runs.length > at + 2 && !Runs.apart(deck.judged, Runs.split(second), Runs.split(last), coarser(second, last));
    return { ...found, confirmed };
  },

  /* The runs of the last setting that were read the finest way; nothing was changed between them. */
  setting(runs) {
    const from = runs.slice(0, -1).findLastIndex((run) => !run.applied || run.applied.n) + 1;
    return runs.slice(from);
  },
  finest(runs) {
    const best = runs.map((run) => run.scatter).reduce((a, b) => (Exact.above(a, b) ? b : a));
    return runs.filter((run) => !Exact.above(run.scatter, best));
  },

  /* Whether all runs of a setting agree; and the setting without the one that stands alone between two others. */
  steady: (j, runs) => runs.every((one, at) => runs.slice(at + 1).every((other) => !Runs.apart(j, Runs.split(one), Runs.split(other), Runs.larger(one.scatter, other.scatter)))),
  agreeing(j, runs) {
    if (Runs.steady(j, runs)) return runs;
    const others = runs.slice(1, -1).map((_, at) => [...runs.slice(0, at + 1), ...runs.slice(at + 2)]);
    return others.find((rest) => Runs.steady(j, rest)) || runs;
  },

  /* Which way two speeds lie apart in a run: 1, -1, or 0 where they do not. */
  way: (j, run) => (run && Runs.apart(j, run.splits[0], run.splits.at(-1), run.scatter) ? (Exact.above(run.splits[0], run.splits.at(-1)) ? 1 : -1) : 0),
  /* Whether they do in the last run, and not by chance: alone after runs that do not, the mean of them all tells. */
  speedsApart(j, runs) {
    const last = runs.at(-1), told = runs.filter((run) => run.splits.length > 1 && !Exact.above(run.scatter, last.scatter)).slice(-j.enough);
    if (!Runs.way(j, last) || told.slice(0, -1).some((run) => Runs.way(j, run))) return Runs.way(j, last) !== 0;
    const apart = Runs.sum(told.map((run) => Exact.sub(run.splits[0], run.splits.at(-1)))), far = Exact.mul(Exact.of(j.different), last.scatter);
    return Exact.above(Exact.mul(apart, apart), Exact.mul(Exact.of(told.length), Exact.mul(far, far)));
  },

  /* Why nothing is changed now, before any row is looked up; empty where nothing speaks against a row. */
  end(deck, runs) {
    const { judged, ends, table } = deck, last = runs.at(-1), sizes = last.splits.map(Exact.abs), here = Runs.setting(runs);
    const above = (limit) => sizes.some((size) => Exact.above(size, Exact.of(limit)));
    if (table && above(table.maxSplit)) return `STOP: ${ends.large}`;
    if (Runs.speedsApart(judged, runs)) return Runs.way(judged, last) === Runs.way(judged, runs.at(-2)) ? `STOP: ${ends.speedsTwice}` : ends.speeds;
    if (!Runs.steady(judged, Runs.agreeing(judged, here))) return Runs.steady(judged, here.slice(0, -1)) ? ends.apart : `STOP: ${ends.unsteady}`;
    if (!table || !table.good) return "";
    const kept = Runs.finest(Runs.agreeing(judged, here)), seen = Exact.mul(Exact.of(judged.different), kept[0].scatter);
    if (Exact.above(seen, Exact.of(table.good)) && !Exact.above(Exact.abs(Runs.mean(kept.map(Runs.split))), seen)) return ends.video;
    if (above(table.good)) return "";
    if (deck.speeds.length > last.splits.length) return ends.other;
    return here.length > 1 ? "inside the limit again: change nothing; the log tells whether it is done" : ends.once;
  },

  /* The card's row for a split, or the next smaller one; null below the first. */
  row: (rows, split) => rows.filter((row) => !Exact.above(Exact.read(row.split), Exact.abs(split))).at(-1) || null,

  /* What is done next. start: { net, first }; net is null where the total is not known, first where it was not said. */
  next(deck, start, runs) {
    const { table, ends, judged } = deck, stop = Runs.end(deck, runs), second = Runs.second(deck, runs);
    const told = second ? `Second reading: ${second.said}.` : "", say = (words) => ({ told, words });
    if (stop) return say(`${stop[0].toUpperCase()}${stop.slice(1)}.`);
    if (second?.confirm && !second.confirmed) return say("Change nothing. Confirm the marks on the metal, then run and read a third time.");
    if (second && judged.look.includes(second.said)) return say("Look at the rotor before anything is changed. Undo by the marks, by what was locked.");
    if (!table) return say("");
    const before = runs.slice(0, -1).map((run) => run.applied), moved = before.some((each) => each?.n);
    if (start.net === null || before.includes(null)) return say("Write first how far the adjusters were moved from as delivered.");
    if (table.first.length && !moved && start.first === null) return say("Say first whether this is the first change.");
    const split = Runs.mean(Runs.finest(Runs.agreeing(judged, Runs.setting(runs))).map(Runs.split));
    const row = Runs.row(table.first.length && !moved && start.first ? table.first : table.rows, split);
    if (!row) return say("Smaller than the first row of the card: change nothing, read again.");
    const blade = split.n > 0n ? "A" : "B", net = Runs.sum([start.net, ...before, Runs.signed(Exact.read(row.read), blade)]);
    if (Runs.past(table, net)) return say(`STOP: ${ends.total}.`);
    return { told, words: "", row, blade };
  },
  past: (table, net) => table.maxTotal !== null && Exact.above(Exact.mul(Exact.abs(net), Exact.of(table.counts)), Exact.of(table.maxTotal)),
};

