/* The design files that a report carries, for its reader to keep. */

import { fileWords } from "../figures/figure_tables.js";
import { saveFile } from "../shared/text_file.js";
import { atButtons } from "./report_part.js";

const { designs } = JSON.parse(document.getElementById("report-carried").textContent);

/** Let each button save its design, as the program opens it. */
export function offerDesigns() {
  atButtons("[data-design]", ({ dataset }) => {
    const { name, text } = designs[dataset.design];
    saveFile(`${fileWords(name)}.toml`, text);
  });
}
