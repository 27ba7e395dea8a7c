// Hands files in one by one, each as the body of a request, and shows how far the work on them is.
"use strict";

const AT_ONCE = 3;
const LOOK = 700; // milliseconds between two looks at the progress

async function sendAll(files, drop) {
  const said = document.getElementById("said"), sent = document.getElementById("sent");
  if (!files.length) { said.textContent = drop.dataset.nothing; return; }
  sent.hidden = false;
  sent.max = files.length;
  try {
    const { id } = await asked("/deliveries");
    const troubles = [], waiting = [...files];
    let done = 0;
    const one = async () => {
      for (let next = waiting.shift(); next; next = waiting.shift()) {
        const trouble = await send(id, next);
        if (trouble) troubles.push(`${next.name}: ${trouble}`);
        sent.value = ++done;
        said.textContent = drop.dataset.sending.replace("%done%", done).replace("%everything%", files.length);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, one));
    if (troubles.length === files.length) { said.textContent = troubles.join("\n"); sent.hidden = true; return; }
    const { page } = await asked(`/deliveries/${id}/begin`);
    if (troubles.length) sessionStorage.setItem("troubles", troubles.join("\n"));
    location.assign(page);
  } catch (error) {
    said.textContent = drop.dataset.lost;
    sent.hidden = true;
  }
}

async function asked(place, body) {
  const answer = await fetch(place, { method: "POST", body });
  if (!answer.ok) throw new Error(answer.status);
  return answer.json();
}

async function send(id, file) {
  const answer = await fetch(`/deliveries/${id}/files?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file });
  if (answer.ok) return "";
  const told = await answer.json().catch(() => ({}));
  return told.error || String(answer.status);
}

async function dropped(transfer) {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry && item.webkitGetAsEntry()).filter(Boolean);
  if (!entries.length) return [...transfer.files];
  const files = [];
  for (const entry of entries) await collect(entry, files);
  return files;
}

async function collect(entry, files) {
  if (entry.isFile) {
    files.push(await new Promise((found, lost) => entry.file(found, lost)));
    return;
  }
  const reader = entry.createReader();
  for (;;) { // a reader gives a hundred entries at a time
    const some = await new Promise((found, lost) => reader.readEntries(found, lost));
    if (!some.length) return;
    for (const each of some) await collect(each, files);
  }
}

// What people's programs leave in folders is no file that somebody hands in.
const meant = (file) => !/^(\.|~\$)/.test(file.name);

function prepareDrop(drop) {
  for (const id of ["files", "folder"]) {
    const chosen = document.getElementById(id);
    const take = () => {
      sendAll([...chosen.files].filter(meant), drop);
      chosen.value = "";
    };
    chosen.addEventListener("change", take);
    if (chosen.files.length) take(); // chosen before this script was there
  }
  const over = (is) => (event) => { event.preventDefault(); drop.classList.toggle("over", is); };
  document.addEventListener("dragover", over(true));
  document.addEventListener("dragleave", over(false));
  document.addEventListener("drop", async (event) => {
    over(false)(event);
    try {
      sendAll((await dropped(event.dataTransfer)).filter(meant), drop);
    } catch (error) {
      document.getElementById("said").textContent = drop.dataset.lost;
    }
  });
}

function follow(working) {
  const bar = working.querySelector("progress"), said = working.querySelector("[role=status]");
  const look = async () => {
    let next = LOOK;
    try {
      const answer = await fetch(working.dataset.progress);
      const now = await answer.json();
      bar.max = now.everything || 1;
      bar.value = now.done;
      if (said.textContent !== now.words) said.textContent = now.words;
      if (now.state === "done") { location.reload(); return; }
    } catch (error) {
      next = 5 * LOOK; // the desk may be busy, or ended
    }
    setTimeout(look, next);
  };
  setTimeout(look, LOOK);
}

function showTroubles() {
  const troubles = sessionStorage.getItem("troubles");
  if (!troubles || !location.pathname.startsWith("/deliveries/")) return;
  sessionStorage.removeItem("troubles");
  const said = document.createElement("p");
  said.className = "error";
  said.setAttribute("role", "alert");
  said.textContent = troubles;
  document.querySelector("h1").after(said);
}

const drop = document.getElementById("drop"), working = document.getElementById("working");
if (drop) prepareDrop(drop);
if (working) follow(working);
const trouble = document.getElementById("trouble");
if (trouble) trouble.focus();
showTroubles();
for (const field of document.querySelectorAll("input[name=by]")) {
  field.value ||= localStorage.getItem("by") || "";
  field.form.addEventListener("submit", () => localStorage.setItem("by", field.value));
}
