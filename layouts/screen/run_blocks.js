/* The blocks of the track runs: one a run; the next appears when one is done. */
const runBlocks = ({ deck, form, byId, inputs, say, equip }) => {
  const part = (at, name) => byId(`run-${at}-${name}`);
  const owns = (input) => /^run-\d+\./.test(input.dataset.name);
  const count = () => form.querySelectorAll("[data-run]").length - (part(0, "changed") ? 1 : 0);
  const text = (at, name) => part(at, name)?.value.trim() || "";
  const read = (at, name) => Exact.read(text(at, name));
  /* The way of reading is taken over from the run before, and says nothing alone. */
  const filled = (at) => inputs.some((one) => one.dataset.name.startsWith(`run-${at}.`) && !one.id.endsWith("-method") && one.value.trim());
  const table = deck.runs.table;
  const addRun = () => {
    const at = count() + 1, block = form.querySelector("[data-run='1']").cloneNode(true);
    block.dataset.run = at;
    block.querySelector(".no").textContent = at;
    for (const one of block.querySelectorAll(".verdict, .entry .printed")) one.remove();
    for (const one of block.querySelectorAll("[id], [for], [data-name]")) {
      for (const name of ["id", "for", "data-name"]) if (one.hasAttribute(name)) one.setAttribute(name, one.getAttribute(name).replace("run-1", `run-${at}`));
    }
    for (const one of block.querySelectorAll(".result")) one.textContent = "";
    form.querySelector(`[data-run='${at - 1}']`).after(block);
    for (const one of block.querySelectorAll("[data-name]")) { one.value = ""; one.removeAttribute("aria-describedby"); one.removeAttribute("aria-invalid"); inputs.push(one); equip(one); }
    part(at, "method").value = text(at - 1, "method");
  };
  const isEmpty = (at, name) => !text(at, name) && !text(at, `${name}-high`);
  const splitOf = (at, name, high) => (read(at, name) ? read(at, name) : text(at, high) === "level" ? Exact.of(0) : null);
  const names = deck.runs.speeds.length > 1 ? [["split", "high"], ["last", "last-high"]] : [["split", "high"]];
  const changeOf = (at) => {
    const said = text(at, "changed"), dial = read(at, "dial");
    return said === "no" ? Exact.of(0) : said.startsWith("lost") ? null : said && dial ? Runs.signed(dial, said) : undefined;
  };
  /* A run as it is judged; nothing until every split of it has its blade. */
  const runOf = (at) => {
    /* A run that was not read at the last speed is done when it is said what was changed. */
    const asked = text(at, "changed") && isEmpty(at, "last") ? names.slice(0, 1) : names;
    const splits = asked.map(([name, high]) => {
      const size = splitOf(at, name, high), blade = text(at, high);
      return size && size.n >= 0n && (blade || !size.n) ? Runs.signed(size, blade || "level") : null;
    });
    return splits.includes(null) || !text(at, "method") ? null
      : { splits, scatter: Exact.of(deck.runs.scatter[text(at, "method")]), applied: table ? changeOf(at) : Exact.of(0) };
  };
  const totalOf = (at) => {
    const size = read(at, "total"), blade = text(at, "lowered");
    return size && (blade || !size.n) ? Runs.signed(size, blade || "level") : null;
  };
  /* What stands against saving one part of a run. */
  const fault = (input) => {
    const [, at, name] = /^run-(\d+)\.(.+)$/.exec(input.dataset.name) || [], value = input.value.trim();
    if (!at || !filled(at)) return "";
    const size = Exact.read(value), said = text(at, "changed"), pair = names.find((each) => each.includes(name));
    if (pair && at > 0) {
      const [split, high] = pair, empty = split === "last" && isEmpty(at, split);
      if (name === split && size && size.n < 0n) return "Write the height alone; which blade was high is chosen.";
      if (name === split && !value && !empty && text(at, high) !== "level") return "This line is needed.";
      if (name === high && !value && !empty && read(at, split)?.n) return "Which blade was high?";
      if (name === high && value === "level" && read(at, split)?.n) return "Level blades have no split.";
    }
    if (name === "method" && !value) return "This line is needed.";
    if (name === "changed" && !value && at > 0 && filled(Number(at) + 1)) return "Say what was changed: another run follows.";
    if (name === "dial" && !value && said && said !== "no") return "What did the dial show? Read it again.";
    if (name === "dial" && value && (!said || said === "no")) return "Say what was changed.";
    if (name === "dial" && size && size.n < 0n) return "Write the size alone; which blade was lowered is chosen.";
    if (name === "lowered" && !value && read(at, "total")?.n) return "Which blade has been lowered in all?";
    return "";
  };

  /* Totals: net is plus toward lowering A. Before the first run it is what was written, and nothing is guessed. */
  const shown = (net) => `${Exact.show(Exact.nearest(Exact.abs(net), Exact.of(table.mark)), table.decimals)}\u00a0${table.unit}${net.n ? ` toward lowering ${net.n > 0n ? "A" : "B"}` : ""}`;
  const start = () => {
    const first = text(0, "first");
    return { net: totalOf(0), first: first ? first === "yes" : table && totalOf(0)?.n === 0n && !/[AB]$/.test(text(0, "changed")) ? true : null };
  };
  const sumWords = (at, net, run, row) => {
    const said = text(at, "changed"), told = totalOf(at), words = [];
    const lowered = said.slice(-1), mean = run && Runs.split(run);
    if (["A", "B"].includes(lowered) && mean && Runs.signed(mean, lowered).n <= 0n) words.push(`Look at the marks: blade ${lowered} was not the high one.`);
    else if (row && run.applied?.n && Exact.above(Exact.abs(Exact.sub(Exact.abs(run.applied), Exact.read(row.read))), Exact.mul(Exact.of(2), Exact.of(table.mark)))) words.push(`The row says ${row.read}\u00a0${table.unit}. Look again.`);
    if (net && at) words.push(`Total from as delivered: ${shown(net)}.`);
    if (net && Runs.past(table, net)) words.push("STOP: that is past the largest total. Do not fly, ask the maker.");
    if (net && told && at && Exact.above(Exact.abs(Exact.sub(net, told)), Exact.of(table.mark))) words.push("Your total says something else. Look again.");
    return words.join(" ");
  };
  const nextWords = (next) => {
    if (!next.row) return `${next.told}\n${next.words}`.trim();
    const at = next.blade === "A" ? 0 : 1, moves = table.blades === 2 ? `${table.lower[at]}; then on blade ${next.blade === "A" ? "B" : "A"}: ${table.raise[1 - at]}` : table.lower[at];
    const { split, read: bold, flats, adjust } = next.row;
    const does = table.unit === "flats" ? `turn ${bold}\u00a0flats` : `the dial must read ${bold}\u00a0${table.unit}`;
    const beside = [flats && `About ${flats}\u00a0flats as the first move`, adjust && `${flats ? "the" : "The"} adjuster moves ${adjust}\u00a0${table.thin}`].filter(Boolean);
    return [
      // The card's row holds whatever the second reading could tell.
      next.told.replace(": read again.", "."), `Blade ${next.blade} is high, ${deck.runs.marks[at]}: ${moves}.`,
      `The card's row for ${split}\u00a0${deck.runs.unit}${table.blades === 2 ? ", on each blade" : ""}: ${does}.`,
      beside.length ? `${beside.join("; ")}.` : "", "Then lock, read again, and run.",
    ].filter(Boolean).join("\n");
  };
  const tell = (stopped) => {
    if (!deck.cards.track) return;
    const known = [], none = { net: null, first: null };
    let begin = table ? start() : none, net = begin.net, whole = true;
    for (let at = table ? 0 : 1; at <= count(); at += 1) {
      if (table) {
        const said = text(at, "changed"), lost = said.startsWith("lost");
        part(at, "dial").closest(".moved").hidden = !said || said === "no";
        part(at, "total").closest(".total").hidden = at > 0 && (!said || said === "no");
        if (at && table.unit !== "flats") form.querySelector(`label[for="run-${at}-dial"]`).textContent = lost ? "Dial before locking" : "Dial, once locked";
      }
      if (!at) { say(byId("run-0-sum"), sumWords(0, net, null, null)); continue; }
      const run = whole ? runOf(at) : null;
      if (run) known.push(run);
      const next = run && Runs.next(deck.runs, begin, known);
      say(byId(`run-${at}-told`), !run ? "" : stopped ? "STOP. See the top of this page." : nextWords(next));
      if (table) {
        net = run?.applied === null ? totalOf(at) : net && run?.applied ? Exact.add(net, run.applied) : null;
        say(byId(`run-${at}-sum`), stopped ? "" : sumWords(at, run ? net : null, run, next?.row));
        /* What was changed and not read begins everything anew. */
        if (run?.applied === null) { known.length = 0; begin = { net, first: false }; }
      }
      if (at === count() && run && run.applied !== undefined && at < 99) addRun();
      whole = run && run.applied !== undefined;
    }
  };
  const spelled = (at, name) => Exact.spelling(text(at, name));
  const changeLine = (at, side) => {
    const said = text(at, "changed"), dial = read(at, "dial"), line = {};
    if (said && said !== "no") {
      /* Where the other blade than the one that was high was lowered, the dial went the other way. */
      if (said.startsWith("lost")) line.dial_before = spelled(at, "dial");
      else line.dial_after = `${said === side || !dial.n ? "" : "-"}${Exact.decimal(dial, spelled(at, "dial"))}`;
    }
    if (text(at, "total")) Object.assign(line, { total: spelled(at, "total"), ...(text(at, "lowered") && { total_blade: text(at, "lowered") }) });
    return Object.keys(line).length ? { ...line, dial_unit: table.unit } : {};
  };
  const line = (at) => {
    const lowered = text(at, "changed").slice(-1), made = { run: at, unit: deck.runs.unit, method: text(at, "method") };
    names.forEach(([name, high], last) => {
      const blade = text(at, high);
      if (!text(at, name) && !blade) return;
      made[name === "last" ? "last_split" : "split"] = spelled(at, name) || "0";
      /* A change is told by the high blade: of level blades, by the one that was lowered. */
      const told = !last && blade !== "A" && blade !== "B" && ["A", "B"].includes(lowered) ? lowered : blade;
      if (told) made[last ? "last_high" : "high_blade"] = told;
    });
    if (text(at, "speed")) made.speed = spelled(at, "speed");
    return { ...made, ...(table ? changeLine(at, made.high_blade) : {}) };
  };
  const withRuns = () => (deck.cards.track ? Array.from({ length: count() }, (_, at) => at + 1) : []).filter((at) => text(at, "split") || text(at, "high"));
  const late = () => {
    const said = text(0, "changed"), line = table ? changeLine(0, said) : {};
    return Object.keys(line).length ? { ...(said && said !== "no" && { lowered: said }), ...line } : null;
  };
  const restore = (names) => { while (deck.cards.track && count() < 99 && names.some((name) => name.startsWith(`run-${count() + 1}.`))) addRun(); };
  const forget = () => {
    for (const block of [...form.querySelectorAll("[data-run]")].filter((one) => Number(one.dataset.run) > 1)) {
      for (const one of block.querySelectorAll("[data-name]")) inputs.splice(inputs.indexOf(one), 1);
      block.remove();
    }
  };
  const print = () => { for (const one of form.querySelectorAll("[data-run]")) one.classList.toggle("empty", !filled(one.dataset.run)); };
  return { owns, withRuns, line, late, fault, tell, restore, forget, print };
};

