/* The page: what was scanned, what is typed, the draft on this device, the saved entry. */
(() => {
  const deck = JSON.parse(document.getElementById("deck").textContent);
  const form = document.getElementById("entry");
  const byId = (id) => document.getElementById(id);
  const inputs = [...form.querySelectorAll("[data-name]")];
  const touches = [...form.querySelectorAll("[data-touched]")];
  /* Tells one entry from the next, so that a file read twice is one entry. It says nothing of anybody. */
  const random = () => [...crypto.getRandomValues(new Uint8Array(4))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  let mark = random();
  const isNumber = (input) => input.dataset.unit !== undefined;
  const store = `cardgen-entry:${deck.set}:${deck.code}`;
  const scanned = new URLSearchParams(location.hash.slice(1));
  const scannedCode = scanned.get("c") || "", scannedCard = scanned.get("k") || "";

  /* The text of a message changes only as text, never as markup. */
  const say = (place, words) => { place.textContent = words; place.hidden = !words; };

  /* Why nobody may work from these cards; empty while somebody may. A draft or an entry changes nothing of it. */
  let stopped = "";
  const two = (number) => String(number).padStart(2, "0");
  const today = (now = new Date()) => `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;

  const arrive = () => {
    const agrees = scannedCode === deck.code, day = today();
    form.dataset.agrees = scannedCode ? String(agrees) : "none";
    if (scannedCode && !agrees) {
      const read = scannedCode.slice(0, 24);
      stopped = "another deck's card";
      say(byId("alarm"), `STOP. The card you scanned says ${read}. This form belongs to ${deck.code}. Do not work from that card until the register says which one is current.`);
    } else if (day > deck.until) {
      stopped = "out of date";
      say(byId("alarm"), `STOP. These cards were to be used until ${deck.until}; this device says it is ${day}. Do not work from them.`);
    }
    form.dataset.stopped = stopped;
    const title = Object.hasOwn(deck.cards, scannedCard) ? deck.cards[scannedCard] : "", arrival = byId("arrival");
    const words = !scannedCode ? `Opened without a card. Compare the code on your card with ${deck.code}.`
      : agrees ? `Card scanned: ${title || "not one of this deck"}. Its code agrees with this form.` : "";
    say(arrival, words);
    /* What the second reading tells stands with the runs. */
    const wanted = scannedCard === "second-reading" ? "track" : scannedCard;
    const cards = [...form.querySelectorAll("[data-card]")], open = cards.find((card) => card.dataset.card === wanted);
    for (const card of cards) card.open = !title || card === open;
    if (!open || stopped) return;
    open.before(arrival);
    history.scrollRestoration = "manual";
    arrival.scrollIntoView();
  };

  /* One value: what is wrong with it in words, or nothing. Outside a limit is a finding, not a fault. */
  const faultOf = (input) => {
    const typed = input.value.trim();
    if (!typed) return input.dataset.needed ? "This line is needed." : "";
    /* What the log refuses as invisible: soft hyphens, joiners, marks of direction, private and unknown characters. */
    const hidden = /[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}\p{Zl}\p{Zp}]/u.exec(input.tagName === "TEXTAREA" ? typed.replace(/\r?\n/g, " ") : typed);
    if (hidden) return `An invisible character (U+${hidden[0].codePointAt(0).toString(16).toUpperCase().padStart(4, "0")}) stands after "${typed.slice(0, hidden.index).slice(-12)}". Delete it.`;
    if (input.id === "corrects") return /^[1-9]\d{0,8}$/.test(typed) ? "" : "This is not the number of an entry.";
    if (!isNumber(input)) return "";
    if (typed.includes(",")) return "Write a decimal point, not a comma.";
    return Exact.read(typed) ? "" : `This is not a number. Write ${/^\.\d+$/.test(typed) ? `0${typed}` : "12.5 or 1-1/4"}.`;
  };
  const outsideOf = (input) => {
    const value = Exact.read(input.value), bounds = deck.bounds[input.dataset.name];
    if (!value || !bounds) return "";
    /* A most alone holds to either side of nothing: an offset of minus three is three too far. */
    const size = bounds.least ? value : Exact.abs(value);
    if (bounds.most && Exact.above(size, Exact.of(bounds.most))) return "Out of limit: more than the most allowed.";
    if (bounds.least && Exact.above(Exact.of(bounds.least), value)) return "Out of limit: less than the least allowed.";
    return "";
  };
  /* Beside every field: its verdict in words, and its words as text for the printed sheet. */
  const equip = (input) => {
    const verdict = document.createElement("span"), text = document.createElement("span");
    Object.assign(verdict, { className: "verdict", id: `${input.id}-verdict`, hidden: true });
    Object.assign(text, { className: "printed", ariaHidden: "true" });
    input.after(text);
    input.parentElement.after(verdict);
    input.setAttribute("aria-describedby", `${input.getAttribute("aria-describedby") || ""} ${verdict.id}`.trim());
  };
  const lateFault = (input) => (input.id === "when" && !byId("when-line").hidden && !input.value ? "Say when; it decides what the runs stand for." : blocks.fault(input));
  const blocks = runBlocks({ deck, form, byId, inputs, say, equip });
  const judge = (input, strict) => {
    const fault = (strict || input.value.trim() ? faultOf(input) : "") || (strict ? lateFault(input) : ""), outside = fault ? "" : outsideOf(input);
    input.setAttribute("aria-invalid", String(Boolean(fault || outside)));
    say(byId(`${input.id}-verdict`), fault || outside);
    return fault;
  };
  const grow = (input) => {
    if (input.tagName !== "TEXTAREA") return;
    const wraps = input.value.split("\n").reduce((sum, line) => sum + 1 + Math.floor(line.length / 34), 0);
    input.rows = Math.max(2, wraps);
  };
  const count = () => {
    for (const card of form.querySelectorAll("[data-card]")) {
      const all = [...card.querySelectorAll("[data-name]")].filter((one) => !blocks.owns(one));
      if (all.length) card.querySelector(".filled").textContent = `${all.filter((one) => one.value.trim()).length} of ${all.length} filled`;
    }
  };

  /* The draft stays on this device and nowhere else. A phone may refuse to keep it. */
  const kept = { read: () => { try { return JSON.parse(localStorage.getItem(store)) || {}; } catch { return {}; } } };
  const keep = () => {
    const filled = Object.fromEntries(inputs.filter((one) => one.value !== (one.defaultValue ?? "")).map((one) => [one.dataset.name, one.value]));
    const touched = touches.filter((one) => one.checked).map((one) => one.dataset.touched);
    try { localStorage.setItem(store, JSON.stringify({ ...filled, mark, touched })); say(byId("kept"), "Draft kept on this device."); }
    catch { say(byId("kept"), "This device does not keep drafts. Save before you leave."); }
  };
  const forget = () => { try { localStorage.removeItem(store); } catch { /* nothing was kept */ } };
  const restore = () => {
    const draft = kept.read();
    blocks.restore(Object.keys(draft));
    for (const input of inputs) if (typeof draft[input.dataset.name] === "string") input.value = draft[input.dataset.name];
    for (const one of touches) one.checked = Array.isArray(draft.touched) && draft.touched.includes(one.dataset.touched);
    if (/^[0-9a-f]{8}$/.test(draft.mark)) mark = draft.mark;
    if (Object.keys(draft).length) say(byId("kept"), "Draft from this device. Look it over before you go on.");
  };

  const touching = (one) => {
    const [card, box] = one.dataset.name.split(".");
    return one.value.trim() && deck.touching.includes(card) && (card !== "shake" || box === "shake-after");
  };
  const askWhen = () => { byId("when-line").hidden = !(blocks.withRuns().length && (touches.some((one) => one.checked) || inputs.some(touching))); };

  const entry = () => {
    const record = {}, values = {}, runs = blocks.withRuns().map(blocks.line), changed = blocks.late();
    for (const one of inputs.filter((input) => input.value.trim() && !blocks.owns(input))) {
      const [card, box] = one.dataset.name.split("."), unit = one.dataset.unit;
      const value = isNumber(one) ? Exact.spelling(one.value) : one.value.trim();
      if (card === "record") record[box] = value;
      else if (!["when", "fix"].includes(card)) (values[card] ||= {})[box] = { value, ...(unit && { unit }), ...(outsideOf(one) && { outside: true }) };
    }
    const touched = touches.filter((one) => one.checked).map((one) => one.dataset.touched);
    return {
      kind: "cardgen log entry", schema: deck.schema,
      set_id: deck.set, revision: deck.revision, code: deck.code,
      scanned: { code: scannedCode.slice(0, 24), card: Object.hasOwn(deck.cards, scannedCard) ? scannedCard : "", agrees: scannedCode === deck.code },
      entry: mark, record,
      ...(Object.keys(values).length && { values }),
      ...(runs.length && { runs }),
      ...(changed && { changed }),
      ...(touched.length && { touched }),
      ...(!byId("when-line").hidden && { touched_when: byId("when").value }),
      ...(byId("corrects").value.trim() && { corrects: Number(byId("corrects").value) }),
    };
  };
  /* The same as lines of text: where a value stands, and the value; a new line within it as two characters. */
  const lines = (value, path) => (value && typeof value === "object" ? Object.entries(value).flatMap(([key, inner]) => lines(inner, path ? `${path}.${key}` : key))
    : [`${path}: ${String(value ?? "").replaceAll("\\", "\\\\").replace(/\r?\n/g, "\\n")}`]);
  const save = () => {
    const faulty = inputs.filter((one) => judge(one, true));
    if (faulty.length) {
      say(byId("saved"), `Not saved. Lines to mend: ${faulty.length}.`);
      const card = faulty[0].closest("details");
      if (card) card.open = true;
      byId("as-text").hidden = true;
      faulty[0].focus();
      return;
    }
    const made = entry(), link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([`${JSON.stringify(made, null, 1)}\n`], { type: "application/json" }));
    link.download = `entry-${deck.set}-${byId("record-date").value}.json`;
    link.click();
    byId("text").textContent = lines(made, "").join("\n");
    byId("as-text").hidden = false;
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    forget();
    say(byId("kept"), "");
    say(byId("saved"), "Saved as a file. The draft on this device is gone. The entry counts when a person has signed it.");
  };

  const number = (id) => Exact.read(byId(id)?.value || "");
  const sums = {
    torque: () => {
      const w = deck.sums.torque[Number(byId("sum-wrench").value)], drag = number("sum-drag"), needs = w.drag !== null;
      byId("sum-drag-line").hidden = !needs;
      if (needs && !drag) return byId("sum-drag").value.trim() ? "This is not a number." : "";
      const found = Sums.setting(w, needs ? drag : null);
      return found.cannot || `Set the wrench to at least ${found.low} and at most ${found.high} ${w.unit}.`;
    },
    balance: () => {
      const lead = deck.sums.balance, length = number("sum-length"), grams = number("sum-mass"), said = [];
      if (length) { const m = Sums.mass(lead, length); said.push(m.outside || `That slug weighs ${m.grams} g.`); }
      if (grams) { const l = Sums.length(lead, grams); said.push(l.outside || `That mass is a slug of ${l.length} ${lead.unit}.`); }
      return said.join(" ");
    },
  };
  /* What the three readings ask for, held to the most in one tip with the old lead that is in it. */
  sums.shake = () => {
    const trial = deck.sums.shake, box = (name) => number(`box-shake-${name}`), read = ["shake-none", "shake-a", "shake-b"].map(box);
    if (read.includes(null)) return "";
    const found = Sums.threeRuns(trial, ...read);
    if (found.cannot) return `${found.cannot[0].toUpperCase()}${found.cannot.slice(1).replace(/\.$/, "")}.`;
    const old = box(`old-lead-${found.tip.toLowerCase()}`);
    if (found.tooMuch || (old && Exact.above(Exact.add(old, found.wanted), Exact.of(trial.mostGrams)))) return `Stop. That is more than ${trial.mostShown} in tip ${found.tip}, old lead included. Fit nothing, find the cause.`;
    return `${found.grams} g in tip ${found.tip}, at the place of the trial mass.${old ? "" : " Old lead counts toward the most."}`;
  };
  /* No sum while stopped: it would be worked by. What was done is still written down and saved. */
  const compute = () => {
    for (const name of Object.keys(deck.sums)) if (byId(`sum-${name}`)) say(byId(`sum-${name}`), stopped ? "STOP. See the top of this page." : sums[name]());
    blocks.tell(stopped);
    askWhen();
  };

  form.addEventListener("input", (event) => {
    const { name, touched } = event.target.dataset;
    if (name) { judge(event.target, false); grow(event.target); count(); }
    if (name || touched) { keep(); say(byId("saved"), ""); byId("as-text").hidden = true; }
    compute();
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  byId("save").addEventListener("click", save);
  byId("print").addEventListener("click", () => window.print());
  /* A gloved finger lands beside the button that was meant: the first tap only asks. */
  const forgets = byId("forget"), asks = forgets.textContent, again = "Tap again to forget it";
  for (const other of ["input", "focusin"]) form.addEventListener(other, (event) => { if (event.target !== forgets) forgets.textContent = asks; });
  forgets.addEventListener("click", () => {
    const sure = forgets.textContent === again;
    forgets.textContent = sure ? asks : again;
    if (!sure) return;
    forget();
    form.reset();
    blocks.forget();
    byId("as-text").hidden = true;
    mark = random();
    inputs.forEach((one) => { judge(one, false); grow(one); });
    count(); compute();
    say(byId("saved"), ""); say(byId("kept"), "Forgotten. Nothing of this entry is left on this device.");
  });
  addEventListener("beforeprint", () => {
    for (const card of form.querySelectorAll("[data-card]")) {
      card.open = true;
      card.classList.toggle("empty", ![...card.querySelectorAll("[data-name]")].some((one) => one.value.trim()));
    }
    blocks.print();
    for (const one of inputs) {
      const chosen = one.tagName === "SELECT" && one.value ? one.selectedOptions[0].textContent : one.value.trim();
      one.parentElement.querySelector(".printed").textContent = chosen;
      one.closest(".field").classList.toggle("empty", !chosen);
    }
    for (const one of touches) one.parentElement.classList.toggle("empty", !one.checked);
    touches[0].closest("fieldset").classList.toggle("empty", !touches.some((one) => one.checked));
  });
  addEventListener("hashchange", () => location.reload());

  inputs.forEach(equip);
  arrive();
  restore();
  inputs.forEach((one) => { judge(one, false); grow(one); });
  count();
  compute();
  form.dataset.ready = "yes";
  for (const tool of document.querySelectorAll(".tools")) tool.hidden = false;
})();
