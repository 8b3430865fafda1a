// Fill in: each change is sent as its field is left, what stands against it comes back, then the sheet.

import { post } from "./desk.js";

const form = document.querySelector("#form");
const sheet = document.querySelector("#sheet");
const kept = document.querySelector("#kept");
const save = document.querySelector("#save");
const left = new Set();
let against = form ? JSON.parse(form.dataset.against) : [];
let sending = Promise.resolve();
// What the desk has not taken yet: of each key the newest.
const unsent = new Map();
let wanted = null;
let printing = false;
let pressed = false;
// What is typed is kept after a short rest, before its field is left.
const REST_MS = 600;
let rest = 0;

// --- what stands against a field ---

function placeOf(key) {
  for (let name = key; name; name = name.replace(/(\.[^.[\]]+|\[\d+\])$/, "")) {
    const here = form.querySelector(`[data-problem="${CSS.escape(name)}"], [data-part="${CSS.escape(name)}"]`);
    if (here) return here;
    if (!/[.[]/.test(name)) break;
  }
  return form.querySelector("[data-part]");
}

function isShown(place) {
  const key = place.dataset.problem;
  if (!key) return left.size > 0;
  const box = form.querySelector(`[data-value="${CSS.escape(key)}"] [name=value], [data-source="${CSS.escape(key)}"] [name=place]`);
  return left.has(key) || Boolean(box?.value && box !== document.activeElement);
}

// Not while a button is held down: what moves under the pointer is not clicked.
function showProblems() {
  if (pressed) return;
  const told = new Map();
  for (const each of against) {
    const place = placeOf(each.key);
    if (!isShown(place)) continue;
    told.set(place, [...(told.get(place) ?? []), `${each.why}${each.write ? `. Write: ${each.write}` : ""}`]);
  }
  for (const place of form.querySelectorAll(".problem")) {
    const words = (told.get(place) ?? []).join("\n");
    if (place.innerText !== words) place.replaceChildren(...words.split("\n").filter(Boolean).map(line));
    if (place.dataset.part) place.hidden = !words;
    const id = place.dataset.problem;
    const box = id && form.querySelector(`[data-value="${CSS.escape(id)}"] [name=value]`);
    if (box) box.setAttribute("aria-invalid", words ? "true" : "false");
  }
}

function line(words) {
  const made = document.createElement("p");
  made.textContent = words;
  return made;
}

// A needed box says so while it is empty, unless the paper does not say: one that is always needed, or now.
// It keeps its place once met: what stands below does not move from under the pointer.
function showNeeds() {
  if (pressed) return;
  const asked = new Set(against.filter((each) => !each.why.startsWith("Look again")).map((each) => each.key));
  for (const place of form.querySelectorAll("[data-need]")) {
    const key = CSS.escape(place.dataset.need);
    const box = form.querySelector(`[data-value="${key}"] [name=value]`);
    const isGiven = box.value || form.querySelector(`[data-open="${key}"]`)?.checked;
    const isNeeded = !isGiven && ("always" in place.dataset || asked.has(place.dataset.need));
    if (isNeeded) place.hidden = false;
    place.classList.toggle("met", !isNeeded);
  }
}

function showAll() {
  showProblems();
  showNeeds();
}

// --- sending a change ---

function asked(control) {
  const body = new FormData();
  const value = control.closest("[data-value]");
  const source = control.closest("[data-source]");
  if (control.dataset.open) {
    body.set("key", control.dataset.open);
    body.set("open", control.checked ? "yes" : "no");
  } else if (value) {
    body.set("key", value.dataset.value);
    body.set("value", value.querySelector("[name=value]").value);
    body.set("unit", value.querySelector("[name=unit]")?.value ?? "");
  } else if (source) {
    body.set("key", source.dataset.source);
    body.set("document", source.querySelector("[name=document]").value);
    body.set("place", source.querySelector("[name=place]").value);
  } else return null;
  body.set("now", sheet.querySelector("[data-shown]")?.dataset.shown ?? "");
  return body;
}

function send(control, isLeft = true) {
  clearTimeout(rest);
  rest = 0;
  const body = asked(control);
  if (!body) return;
  const key = body.get("key");
  if (isLeft) left.add(key);
  control.dataset.sent = control.value;
  unsent.set(key, { control, body, isLeft });
  sending = sending.then(flush);
}

async function flush() {
  for (const [key, each] of unsent) {
    try {
      const answer = await post(form.dataset.change, each.body);
      const told = await answer.json().catch(() => ({ trouble: "The desk did not take this. Load the page again." }));
      if (unsent.get(key) === each) unsent.delete(key);
      if (answer.ok) {
        take(told, key, each.control, each.body);
        if (each.isLeft) {
          wanted = { key };
          print();
        }
      } else kept.textContent = told.trouble;
    } catch {
      kept.textContent = "The desk does not answer. Is it still running? What stands here is not kept yet.";
      return;
    }
  }
}

// A page is left when all that was typed on it is kept: the next one then shows it.
async function leaving(event, go) {
  if (!unsent.size) return;
  event.preventDefault();
  sending = sending.then(flush);
  await sending;
  if (!unsent.size) go();
}

function take(told, key, control, body) {
  against = told.problems;
  for (const place of document.querySelectorAll("[data-count]")) {
    const count = told.counts[place.dataset.count];
    place.textContent = count ? `${count} to look at` : "";
  }
  const value = control.closest("[data-value]");
  if (value && (document.activeElement !== control || control.tagName === "SELECT")) {
    const box = value.querySelector("[name=value]");
    if (box.value === body.get("value")) box.value = told.value;
    const unit = value.querySelector("[name=unit]");
    if (unit && told.unit) unit.value = told.unit;
    const open = form.querySelector(`[data-open="${CSS.escape(key)}"]`);
    if (open && told.value) open.checked = false;
  }
  if (control.dataset.open && control.checked) {
    const box = form.querySelector(`[data-value="${CSS.escape(key)}"] [name=value]`);
    if (box) box.value = "";
  }
  carry(key, told.source);
  save.querySelector("button").disabled = !told.changed;
  // What was typed since the answer was asked for is not kept yet.
  if (!rest) kept.textContent = told.overtaken ? "Somebody changed the file meanwhile. Save shows both." : told.changed ? "Not saved yet; kept beside the file." : "Saved.";
  showAll();
}

// What was typed as the page was left may come to the desk after the page was asked for again: it is shown here.
function takeBack() {
  let typed = [];
  try {
    typed = JSON.parse(sessionStorage.getItem(form.dataset.change)) ?? [];
    sessionStorage.removeItem(form.dataset.change);
  } catch { /* Nothing was typed. */ }
  for (const [key, text] of typed) {
    const box = form.querySelector(`[data-value="${CSS.escape(key)}"] [name=value]`);
    if (!box || box.value === text) continue;
    box.value = text;
    send(box, false);
  }
}

// Led here to one box, what stands against it is told at once.
function lookAtOne() {
  const box = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
  const key = box && box.closest("[data-value]")?.dataset.value;
  if (!key) return;
  box.focus();
  left.add(key);
  const cell = box.closest("td");
  if (cell) cell.scrollIntoView({ block: "center", inline: "center" });
}

function carry(key, source) {
  const group = key.replace(/\.[^.]+$/, "");
  const place = form.querySelector(`[data-source="${CSS.escape(`${group}.source`)}"]`);
  if (!place || !source || place.contains(document.activeElement)) return;
  const [document_, ...rest] = source.split(" ");
  place.querySelector("[name=document]").value = document_;
  place.querySelector("[name=place]").value = rest.join(" ");
}

// --- the sheet ---

async function print() {
  if (printing || !wanted) return;
  printing = true;
  const ask = { now: sheet.querySelector("[data-shown]")?.dataset.shown ?? "", ...wanted };
  wanted = null;
  sheet.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`${form.dataset.sheet}?${new URLSearchParams(ask)}`);
    const text = await answer.text();
    const focused = sheet.contains(document.activeElement) ? document.activeElement.dataset : null;
    if (answer.ok) sheet.innerHTML = text;
    if (focused?.card) sheet.querySelector(`[data-card="${CSS.escape(focused.card)}"]`)?.focus({ preventScroll: true });
  } catch {
    kept.textContent = "The desk does not answer. Is it still running?";
  }
  sheet.removeAttribute("aria-busy");
  printing = false;
  print();
}

let lastKey = "";

function show(ask) {
  wanted = { key: lastKey, ...ask };
  print();
}

if (form) {
  form.addEventListener("change", (event) => {
    send(event.target);
    lastKey = asked(event.target)?.get("key") ?? lastKey;
  });
  // What is typed can be saved at once: a button that wakes late is clicked in vain.
  form.addEventListener("input", (event) => {
    save.querySelector("button").disabled = false;
    kept.textContent = "Being typed.";
    clearTimeout(rest);
    // An emptied box is sent as it is left: until then the file keeps its line and what stands behind it.
    if (event.target.value) rest = setTimeout(send, REST_MS, event.target, false);
  });
  form.addEventListener("focusin", (event) => {
    const key = event.target.closest?.("[data-value]")?.dataset.value;
    if (key && key !== lastKey && sheet.querySelector("svg")) show({ key });
    if (key) lastKey = key;
  });
  form.addEventListener("focusout", (event) => {
    const key = event.target.closest?.("[data-value]")?.dataset.value;
    if (key && event.target.name === "value") left.add(key);
    showProblems();
  });
  sheet.addEventListener("click", (event) => {
    const button = event.target.closest("[data-card]");
    if (button) show({ card: button.dataset.card, side: button.dataset.side ?? "0" });
  });
  for (const what of ["pointerover", "click"]) {
    sheet.addEventListener(what, (event) => {
      const from = event.target.dataset?.from;
      const place = sheet.querySelector("#from");
      if (from && place) {
        place.textContent = from;
        place.hidden = false;
      }
    });
  }
  document.addEventListener("submit", (event) => {
    const { target, submitter } = event;
    leaving(event, () => target.requestSubmit(submitter));
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]");
    const stays = !link || (link.hash && link.pathname === location.pathname) || event.ctrlKey || event.metaKey || event.shiftKey;
    if (!stays) leaving(event, () => location.assign(link.href));
  });
  document.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      document.activeElement?.blur();
      save.requestSubmit();
    }
  });
  // What was typed and is not kept yet goes along when the page does.
  addEventListener("pagehide", () => {
    const control = document.activeElement;
    const typed = control?.closest?.("#form") && control.type !== "checkbox" && control.value !== (control.dataset.sent ?? control.defaultValue ?? control.value);
    const body = typed && asked(control);
    if (body) unsent.set(body.get("key"), { body });
    const typedLast = [...unsent.values()].map(({ body: each }) => [each.get("key"), each.get("value")]);
    try { sessionStorage.setItem(form.dataset.change, JSON.stringify(typedLast.filter(([, text]) => text !== null))); } catch { /* It is sent all the same. */ }
    for (const each of unsent.values()) {
      each.body.set("desk_token", document.querySelector('meta[name="desk-token"]').content);
      navigator.sendBeacon(form.dataset.change, each.body);
    }
  });
  document.addEventListener("pointerdown", () => { pressed = true; }, true);
  for (const what of ["pointerup", "pointercancel"]) {
    document.addEventListener(what, () => {
      pressed = false;
      setTimeout(showAll);
    }, true);
  }
  takeBack();
  lookAtOne();
  showAll();
  lastKey = form.dataset.group;
  show({});
}
