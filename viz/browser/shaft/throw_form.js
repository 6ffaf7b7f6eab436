/* The button that solves the design's throw by finite elements. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";

export function render({ model, el }) {
  const button = element(
    "button",
    { type: "button", onclick: () => sendMessage(model, "solve_throw") },
    "Calculate this throw",
  );
  const status = element("span", { class: "muted", role: "status" });
  const problem = element("p", { class: "bad", role: "alert" });
  el.append(element("div", { class: "row" }, button, status), problem);
  const show = () => {
    button.disabled = model.busy || !model.possible;
    setText(status, model.busy ? "Calculating, some seconds …" : "");
    setText(problem, model.problem);
  };
  for (const name of ["busy", "possible", "problem"]) model.on(name, show);
  show();
}
