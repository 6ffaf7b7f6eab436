/* Sentences under the charts: what they hold and what they leave out. */

import { element } from "../shared/elements.js";

export function render({ model, el }) {
  const node = element("div", { class: "notes muted" });
  el.append(node);
  const show = () => node.replaceChildren(...model.notes.map((text) => element("p", {}, text)));
  model.on("notes", show);
  show();
}
