/* Handing a worked lesson in, and a teacher's table of those handed in, all in the browser. */

import { element } from "../shared/elements.js";
import { readTextFile, saveFile } from "../shared/text_file.js";
import {
  fileStem,
  MOST_RECORD_BYTES,
  RECORD_HEAD,
  recordRow,
  recordTable,
  recordText,
} from "./lesson_record.js";

const MOST_FILES = 500;
const NAME = "sixthrow-student";

/** A line under a worked lesson: name, and the buttons that save and print it. */
export function handingParts(work) {
  const name = element("input", { type: "text", maxlength: 80, autocomplete: "name" });
  name.value = storedName();
  const save = () => {
    storeName(name.value.trim());
    const stem = `${work().lesson.key}-${fileStem(name.value)}`;
    saveFile(`${stem}.json`, recordText(name.value.trim(), work()));
  };
  return element(
    "div",
    { class: "handing" },
    element("label", {}, "Name ", name),
    element("button", { type: "button", onclick: save }, "Save worked lesson"),
    element("button", { type: "button", onclick: () => window.print() }, "Print"),
  );
}

function storedName() {
  try {
    return localStorage.getItem(NAME) ?? "";
  } catch {
    return ""; // storage is shut off
  }
}

function storeName(name) {
  try {
    localStorage.setItem(NAME, name);
  } catch {
    /* shut off */
  }
}

/** A button that opens many worked lessons and shows them as a table. */
export class GatherButton {
  constructor() {
    this.input = element("input", {
      type: "file",
      accept: ".json",
      multiple: true,
      class: "hidden",
      tabindex: -1,
      "aria-label": "Gather worked lessons",
      onchange: () => this.gather(),
    });
    const open = () => this.input.click();
    this.node = element(
      "span",
      { class: "file" },
      element("button", { type: "button", onclick: open }, "Gather worked lessons"),
      this.input,
    );
  }

  async gather() {
    const files = [...this.input.files].slice(0, MOST_FILES);
    const left = this.input.files.length - files.length;
    this.input.value = "";
    const problems = left ? [`Only the first ${MOST_FILES} files were read.`] : [];
    const rows = [];
    const take = (name, text) => {
      try {
        rows.push(recordRow(name, text));
      } catch (error) {
        problems.push(error.message);
      }
    };
    for (const file of files)
      await readTextFile(file, MOST_RECORD_BYTES, take, (words) => problems.push(words));
    rows.sort((a, b) => `${a[1]} ${a[0]}`.localeCompare(`${b[1]} ${b[0]}`));
    if (files.length) showTable(this.node, rows, problems);
  }
}

function showTable(place, rows, problems) {
  const cells = (tag, row) => element("tr", {}, ...row.map((text) => element(tag, {}, text)));
  const table = element(
    "table",
    {},
    element("thead", {}, cells("th", RECORD_HEAD)),
    element("tbody", {}, ...rows.map((row) => cells("td", row))),
  );
  const title = `Worked lessons: ${rows.length}`;
  const save = () => saveFile("worked-lessons.csv", recordTable(rows));
  const dialog = element(
    "dialog",
    { class: "gathered", "aria-label": title },
    element("h2", {}, title),
    ...problems.map((words) => element("p", { class: "problem" }, words)),
    element(
      "div",
      { class: "gathered-table", tabindex: 0, role: "region", "aria-label": title },
      table,
    ),
    element(
      "form",
      { method: "dialog" },
      element("button", { type: "button", onclick: save }, "Save as CSV"),
      element("button", {}, "Close"),
    ),
  );
  dialog.addEventListener("close", () => dialog.remove());
  place.append(dialog);
  dialog.showModal();
}
