// What every page of the desk does: states come one by one, long work is asked after, posts carry the token.

const STATES_AT_ONCE = 3;
const ASK_WORK_MS = 500;
const LOST = "The desk does not answer. Is it still running?";

// Asks the desk for something that changes something; gives the answer, whatever its status.
export function post(address, body = null) {
  const token = document.querySelector('meta[name="desk-token"]').content;
  return fetch(address, { method: "POST", body, headers: { "X-Desk-Token": token } });
}

async function fillState(place) {
  try {
    const answer = await fetch(place.dataset.state);
    if (!answer.ok) throw new Error(answer.status);
    const focused = place.contains(document.activeElement);
    place.innerHTML = await answer.text();
    if (focused) place.querySelector("a").focus();
  } catch {
    place.querySelector("p").textContent = "The desk could not tell how this rotor stands. Open it to see why.";
  }
}

async function fillStates() {
  const places = [...document.querySelectorAll("[data-state]")];
  const status = document.querySelector("#asked");
  const all = status?.textContent;
  let next = 0;
  let done = 0;
  const one = async () => {
    while (next < places.length) {
      await fillState(places[next++]);
      done += 1;
      if (done % 20 === 0 || done === places.length) {
        status.textContent = done < places.length ? `${all}, ${done} asked so far` : all;
      }
    }
  };
  await Promise.all(Array.from({ length: STATES_AT_ONCE }, one));
}

// Follows a piece of long work to its end, then opens the page of its result.
export async function watchWork(box) {
  const words = box.querySelector("[role=status]");
  const stop = box.querySelector("[data-stop]");
  stop.addEventListener("click", () => {
    stop.disabled = true;
    post(stop.dataset.stop).catch(() => { words.textContent = LOST; });
  });
  for (;;) {
    try {
      const answer = await fetch(box.dataset.work);
      const told = await answer.json();
      if (words.textContent !== told.words) words.textContent = told.words;
      if (told.over) {
        stop.hidden = true;
        if (told.then) location.replace(told.then);
        else box.querySelector("[data-after]").hidden = false;
        return;
      }
    } catch {
      words.textContent = LOST;
    }
    await new Promise((wait) => setTimeout(wait, ASK_WORK_MS));
  }
}

fillStates();
document.querySelectorAll("[data-work]").forEach(watchWork);
