// Reading by keyboard: one key for right, one for not right, arrows between values.

const KEYS = { r: "right", n: "wrong" };
const STEPS = { ArrowDown: 1, ArrowUp: -1 };

const form = document.querySelector("#reading");
const values = form ? [...form.querySelectorAll(".value")] : [];
const left = document.querySelector("#left");

const answered = (value) => value.querySelector("input:checked");

function count() {
  const open = values.filter((value) => !answered(value)).length;
  left.textContent = open ? `${open} of ${values.length} not read yet` : "Everything is read.";
}

function go(at) {
  const value = values[at];
  const place = value ? answered(value) ?? value.querySelector("input") : document.querySelector("#by");
  place.focus({ preventScroll: true });
  (value ?? place).scrollIntoView({ block: "center" });
}

function key(event) {
  const typing = event.target.matches("input:not([type=radio]), select, textarea");
  if (typing || event.ctrlKey || event.altKey || event.metaKey) return;
  const answer = KEYS[event.key.toLowerCase()];
  const at = values.findIndex((value) => value.contains(event.target));
  if (answer) {
    if (at < 0) return;
    event.preventDefault();
    values[at].querySelector(`[value=${answer}]`).checked = true;
    count();
    go(at + 1);
  } else if (event.key in STEPS && at >= 0) {
    event.preventDefault();
    go(Math.max(0, at + STEPS[event.key]));
  }
}

const said = (value) => `${value.dataset.of}: ${value.textContent}`;

// While something is mended, what was said to be right stays so in this window, word for word.
function remember() {
  const right = values.filter((value) => answered(value)?.value === "right");
  try {
    if (right.length === values.length) sessionStorage.removeItem(location.pathname);
    else sessionStorage.setItem(location.pathname, JSON.stringify(right.map(said)));
  } catch { /* Then all is read again. */ }
}

function recall() {
  let right = [];
  try { right = JSON.parse(sessionStorage.getItem(location.pathname)) ?? []; } catch { /* Nothing was read. */ }
  const known = new Set(right);
  for (const value of values) if (!answered(value) && known.has(said(value))) value.querySelector("[value=right]").checked = true;
}

if (values.length) {
  document.addEventListener("keydown", key);
  form.addEventListener("submit", remember);
  recall();
  form.addEventListener("change", count);
  count();
  const first = values.findIndex((value) => !answered(value));
  go(first < 0 ? values.length : first);
}
