/* The balancing card: what the machine shows in two planes, and the holes that bring it in. */

import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { element, setText, svg } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, readBoxes } from "../shared/number_box.js";
import { turnText } from "../shared/number_words.js";

const [CARD_SIZE, CIRCLE] = [210, 52]; // px of a plane's picture, and of what is permissible
const WEB_SIZE = 130; // px of a web's picture

export function render({ model, el }) {
  const card = new BalancingCard(model);
  el.append(card.node);
  model.on("webs", () => card.showWebs());
  for (const name of ["card", "problem", "answered"]) model.on(name, () => card.show());
}

class BalancingCard {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    const { fields, units } = model;
    this.boxes = {}; // of numbers
    this.picks = {};
    const box = (name, label, unit) => {
      this.boxes[name] = new NumberBox({ id: name, value: fields[name] });
      const { input, problem } = this.boxes[name];
      return [element("label", { for: name }, label), input, element("span", { class: "muted" }, unit), problem];
    };
    const pick = (name, label, options) => {
      this.picks[name] = element("select", { id: name }, ...options.map(([value, words]) => element("option", { value }, words)));
      this.picks[name].value = fields[name];
      return [element("label", { for: name }, label), this.picks[name]];
    };
    this.against = this.tick("against", "angles measured against rotation", fields.against);
    this.light = this.tick("light", "machine indicates the light spot", fields.light);
    this.drills = this.ticks("Drills", model.drills.map(([size, words]) => [size, words, fields.drills.includes(size)]));
    this.webs = element("fieldset", { class: "ticks" });
    this.button = element("button", { type: "button", "data-plan": "", onclick: () => this.ask() }, "Plan the holes");
    this.status = element("span", { role: "status", class: "muted" });
    this.problem = element("p", { class: "bad", role: "alert", hidden: true });
    this.result = element("div", { class: "result" });
    this.node = element(
      "div", { class: "balancing" },
      element("fieldset", { class: "reading" }, element("legend", {}, "Balancing-machine readings"),
        element("div", { class: "row" }, ...box("front_amount", "front", units.unbalance), ...box("front_angle", "at", "°")),
        element("div", { class: "row" }, ...box("rear_amount", "rear", units.unbalance), ...box("rear_angle", "at", "°")),
        this.against.node, this.light.node),
      element("div", { class: "row" }, ...pick("grade", "Grade", model.grades)),
      this.drills.node, this.webs,
      element("div", { class: "row" }, ...box("depth", "maximum depth", units.length), ...box("wall", "minimum wall", units.length)),
      element("div", { class: "row" }, ...pick("aim", "Aim", [["fewest", "fewest holes"], ["lightest", "minimum mass removed"]]),
        ...pick("holes", "at most", [1, 2, 3, 4, 5, 6].map((count) => [count, `${count}`])), this.button, this.status),
      this.problem, this.result
    );
    this.showWebs();
    this.show();
  }

  tick(name, words, checked) {
    const box = element("input", { type: "checkbox", checked });
    return { box, node: element("label", { class: "row" }, box, words) };
  }

  /** A set of things to tick: each [value, words, checked]. */
  ticks(title, things) {
    const boxes = things.map(([value, words, checked]) => [value, this.tick("", words, checked)]);
    const node = element("fieldset", { class: "ticks" }, element("legend", {}, title), ...boxes.map(([, { node: one }]) => one));
    return { node, chosen: () => boxes.filter(([, { box }]) => box.checked).map(([value]) => value) };
  }

  showWebs() {
    const made = this.ticks("Webs that may be drilled", this.model.webs.map((web) => [web, `${web}`, true]));
    this.webs.replaceWith(made.node);
    this.webs = made.node;
    this.chosenWebs = made.chosen;
  }

  ask() {
    if (this.busy) return;
    const numbers = readBoxes(this.boxes);
    if (!numbers) return;
    this.asked += 1;
    sendMessage(this.model, "plan", {
      serial: this.asked, ...numbers, grade: this.picks.grade.value,
      aim: this.picks.aim.value, holes: Number(this.picks.holes.value), against: this.against.box.checked,
      light: this.light.box.checked, drills: this.drills.chosen(), webs: this.chosenWebs(),
    });
    this.show();
  }

  get busy() {
    return this.model.answered < this.asked;
  }

  show() {
    const { model, busy } = this;
    this.button.disabled = busy;
    setText(this.status, busy ? "Calculating…" : "");
    this.node.setAttribute("aria-busy", busy);
    if (busy) return;
    const stays = model.card ? " The last result stays." : "";
    setText(this.problem, model.problem ? `✕ ${model.problem}.${stays}` : "");
    this.problem.hidden = !model.problem;
    if (model.problem && !model.card) this.result.replaceChildren();
    else if (!model.card) this.result.replaceChildren(element("p", { class: "muted" }, "Enter the balancing-machine readings, then plan the holes."));
    else this.result.replaceChildren(...this.parts(JSON.parse(model.card)));
  }

  parts(card) {
    const mark = card.feasible ? "✓" : "✕";
    return [
      element("p", { class: `verdict ${card.feasible ? "good" : "bad"}`, role: "status" }, `${mark} ${card.words}`),
      ...(card.helps.length ? [element("p", {}, "What would help:"), element("ul", {}, ...card.helps.map((one) => element("li", {}, one)))] : []),
      element("p", { class: "muted" }, card.tolerance),
      this.drawn(card),
      ...(card.holes.length ? [this.table(card), element("button", { type: "button", onclick: () => sendMessage(this.model, "holes") }, "Save as CSV")] : []),
      ...card.notes.map((one) => element("p", { class: "muted" }, one)),
    ];
  }

  /** Planes and drilled webs, with the button for their files. */
  drawn(card) {
    const drawn = element(
      "div", {}, element("div", { class: "planes" }, ...card.planes.map((plane) => this.plane(plane))),
      ...(card.webs.length ? [element("div", { class: "planes" }, ...card.webs.map((web) => this.web(web)))] : [])
    );
    const figure = () => ({
      title: "Residual and holes", words: card.words, name: card.design, foot: `${card.design}: ${card.tolerance}`,
      table: card.holes.length ? { head: card.heads, rows: card.holes } : null, drawing: () => pageLines(drawn),
    });
    return element("div", { class: "drawn" }, pictureButton("Description, table and export of residual and holes", figure), drawn);
  }

  table({ heads, holes }) {
    return element(
      "div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Holes to drill" },
      element("table", {},
        element("thead", {}, element("tr", {}, ...heads.map((text) => element("th", { scope: "col" }, text)))),
        element("tbody", {}, ...holes.map(([first, ...cells]) => element("tr", {}, element("th", { scope: "row" }, first), ...cells.map((text) => element("td", {}, text))))))
    );
  }

  /** A drilled web from the front: its pin, its counterweight, and the holes in that one's outside. */
  web({ web, pin, throw: [crank, pinRadius], ends: [main, end], face: [low, high], holes }) {
    const radius = 0.4 * WEB_SIZE;
    const at = (degrees, share) => {
      const angle = (degrees * Math.PI) / 180;
      return [radius * share * Math.sin(angle), -radius * share * Math.cos(angle)].map((value) => value.toFixed(2)).join(" ");
    };
    const large = high - low > 180 ? 1 : 0;
    const sector = `M${at(low, main)}L${at(low, 1)}A${radius} ${radius} 0 ${large} 1 ${at(high, 1)}L${at(high, main)}A${radius * main} ${radius * main} 0 ${large} 0 ${at(low, main)}Z`;
    const middle = -WEB_SIZE / 2;
    const told = holes.map(({ number, angle }) => `hole ${number} at ${turnText(angle)}`).join(", ");
    const disc = (share, radiusShare, kind) => {
      const [x, y] = at(pin, share).split(" ");
      return svg("circle", { class: kind, cx: x, cy: y, r: radius * radiusShare });
    };
    const body = svg("line", { class: "web", x1: 0, y1: 0, x2: at(pin, crank).split(" ")[0], y2: at(pin, crank).split(" ")[1], "stroke-width": 2 * radius * Math.min(main, end) });
    const drilled = holes.flatMap(({ number, angle, depth, width }) => [
      svg("rect", { class: "hole", x: (-radius * width) / 2, y: -radius, width: radius * width, height: radius * depth, transform: `rotate(${angle})` }),
      svg("text", { class: "zero", x: at(angle, 1.16).split(" ")[0], y: at(angle, 1.16).split(" ")[1], dy: 4 }, `${number}`),
    ]);
    return element(
      "figure", { class: "plane" },
      element("figcaption", {}, `Web ${web}`),
      svg(
        "svg", { viewBox: `${middle} ${middle} ${WEB_SIZE} ${WEB_SIZE}`, width: WEB_SIZE, height: WEB_SIZE, role: "img", "aria-label": `Web ${web} from the front: ${told}` },
        svg("path", { class: "sector", d: sector }), body, disc(0, main, "web"), disc(crank, end, "web"), disc(crank, pinRadius, "pin"), ...drilled
      )
    );
  }

  /** One plane: the permissible circle, the residual before, each hole's step, and what is left. */
  plane({ title, permissible, path, before, after, machine, share, within }) {
    const reach = Math.max(1.25, ...path.map(([x, y]) => 1.08 * Math.hypot(x, y)));
    const scale = Math.min(CIRCLE, (0.86 * CARD_SIZE) / 2 / reach);
    const at = ([x, y]) => [CARD_SIZE / 2 + scale * x, CARD_SIZE / 2 - scale * y];
    const middle = CARD_SIZE / 2;
    const words = `${title}: ${before} before, ${after} after drilling, ${share}; permissible ${permissible}`;
    const [start, ...rest] = path.map(at);
    const end = rest.length ? rest[rest.length - 1] : start;
    const steps = rest.map(([x, y], i) => {
      const [px, py] = i ? rest[i - 1] : start;
      return svg("g", { class: "step" }, svg("line", { x1: px, y1: py, x2: x, y2: y }), svg("text", { x: (px + x) / 2 + 5, y: (py + y) / 2 - 4 }, `${i + 1}`));
    });
    return element(
      "figure", { class: "plane" },
      element("figcaption", {}, element("strong", {}, title)),
      svg(
        "svg", { viewBox: `0 0 ${CARD_SIZE} ${CARD_SIZE}`, width: CARD_SIZE, height: CARD_SIZE, role: "img", "aria-label": words },
        svg("circle", { class: "permissible", cx: middle, cy: middle, r: scale }),
        svg("path", { class: "axes", d: `M${middle} 14V${CARD_SIZE - 4}M4 ${middle}H${CARD_SIZE - 4}` }),
        svg("text", { class: "zero", x: middle, y: 11 }, "0°"), svg("text", { class: "zero", x: CARD_SIZE - 14, y: middle - 4 }, "90°"),
        svg("line", { class: "before", x1: middle, y1: middle, x2: start[0], y2: start[1] }),
        svg("circle", { class: "start", cx: start[0], cy: start[1], r: 4 }), ...steps,
        svg("line", { class: "after", x1: middle, y1: middle, x2: end[0], y2: end[1] }),
        svg("circle", { class: within ? "end good" : "end bad", cx: end[0], cy: end[1], r: 5 })
      ),
      element("p", {}, `○ ${before}`), element("p", {}, `● ${after}`, element("span", { class: "muted" }, ` (${machine})`)),
      element("p", { class: within ? "good" : "bad" }, `${within ? "✓" : "✕"} ${share}`),
      element("p", { class: "muted" }, `circle: ${permissible} permissible`)
    );
  }
}
