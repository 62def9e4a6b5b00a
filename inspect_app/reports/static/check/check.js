/* Works out the fingerprint of a PDF here and asks about that; the file itself is never sent. */
const MOST_BYTES = 200 * 1024 * 1024;
const drop = document.getElementById("drop");
const said = document.getElementById("said");
const file = document.getElementById("file");

if (globalThis.crypto?.subtle === undefined) {
  document.getElementById("cannot").hidden = false;
  document.getElementById("how").hidden = true;
} else {
  document.getElementById("choose").hidden = false;
  file.addEventListener("change", () => compare(file.files[0]));
  addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  addEventListener("dragleave", () => drop.classList.remove("over"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    compare(event.dataTransfer.files[0]);
  });
}

async function compare(chosen) {
  if (chosen === undefined) return;
  if (chosen.size > MOST_BYTES) {
    said.textContent = "This file is larger than any report of ours.";
    return;
  }
  said.textContent = "Working out the fingerprint…";
  try {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await chosen.arrayBuffer()));
    const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    location.assign(`${drop.dataset.page}?file=${sha256}`);
  } catch {
    said.textContent = "This file could not be read. Choose it again.";
  }
}
