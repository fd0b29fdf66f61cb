// What a device gets that has not scanned a code, and nothing else: a page that shows the code it came with, if any.

/** Where a code leads: the secret stands behind the `#`, which a browser sends to nobody. */
export const GATE_PATH = "/join";
export const GATE_SCRIPT_PATH = "/share/gate.js";
export const GATE_STYLE_PATH = "/share/gate.css";

export const GATE_PAGE = `<!doctype html>
<html lang="en">
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<title>Velarium: a shared job</title>
<link rel="icon" href="data:," />
<link rel="stylesheet" href="${GATE_STYLE_PATH}" />
<main>
  <h1>A shared job</h1>
  <p id="words" role="status">
    This job is shared with devices that scanned its code. Scan the code on the computer that shares it.
  </p>
</main>
<script src="${GATE_SCRIPT_PATH}"></script>
</html>
`;

export const GATE_STYLE = `:root { color-scheme: dark light; font: 1.2rem/1.5 system-ui, sans-serif; }
main { max-width: 32rem; margin: 18vh auto; padding: 0 1.5rem; }
h1 { font: 500 2rem/1.2 Georgia, serif; }
`;

export const GATE_SCRIPT = `"use strict";
const words = document.getElementById("words");
const code = location.hash.slice(1);
// the code is good for one device: it has no place in the history
history.replaceState(null, "", location.pathname);
if (code !== "") {
  words.textContent = "Joining…";
  fetch("/share/join", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ code }),
  }).then(
    async (response) => {
      if (response.ok) location.replace("/#shared");
      else words.textContent = (await response.json()).words;
    },
    () => {
      words.textContent = "The computer that shares this job does not answer. Is this device in the same network?";
    },
  );
}
`;
