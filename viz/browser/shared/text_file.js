/*
 * Reading a file that the reader chooses, as text, here: one too large never goes over the socket.
 */

import { element } from "./elements.js";

/** A button that opens a file; `take` gets its name and text, `refuse` what is wrong with it. */
export function fileButton(label, ending, mostBytes, take, refuse) {
  const input = element("input", {
    type: "file",
    accept: ending,
    class: "hidden",
    tabindex: -1,
    "aria-label": label,
    onchange: async () => {
      const [file] = input.files;
      input.value = "";
      if (file) await readTextFile(file, mostBytes, take, refuse);
    },
  });
  return element(
    "span",
    { class: "file" },
    element("button", { type: "button", onclick: () => input.click() }, label),
    input,
  );
}

/** Read a chosen file; `take` gets its name and text, `refuse` what is wrong with it. */
export async function readTextFile(file, mostBytes, take, refuse) {
  if (file.size > mostBytes) {
    const [unit, bytes] = mostBytes < 1e6 ? ["kB", 1e3] : ["MB", 1e6];
    const size = (file.size / bytes).toFixed(1);
    refuse(
      `${file.name} must be at most ${mostBytes / bytes} ${unit} (got ${size} ${unit}). ` +
        "Nothing was changed.",
    );
    return;
  }
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    refuse(`${file.name} is not UTF-8 text. Nothing was changed.`);
    return;
  }
  take(file.name, text);
}

/** Offer a text as a file. */
export function saveFile(name, text) {
  const link = element("a", {
    href: URL.createObjectURL(new Blob([text], { type: "text/plain" })),
    download: name,
  });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
