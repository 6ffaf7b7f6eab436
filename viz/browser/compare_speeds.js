/* The speeds of the comparison: each design at its rated one, or both at one that can be set. */

const [RATED, SHARED] = ["rated", "shared"];

class ComparedSpeeds {
  /** `ask` sends a message to Python; `chosen` is called with the view that is chosen. */
  constructor(ask, chosen) {
    this.view = RATED;
    const radio = (view) => element("input", {
      type: "radio", name: "speeds", value: view, checked: view === RATED, onchange: () => chosen(view),
    });
    this.radios = { [RATED]: radio(RATED), [SHARED]: radio(SHARED) };
    this.rated = element("span", { class: "number muted" });
    this.rpm = element("input", {
      type: "number", class: "number", step: 50, min: 1, "aria-label": "Speed of both, rpm",
      onchange: () => {
        chosen(SHARED);
        if (this.rpm.value) ask({ kind: "speed", rpm: Number(this.rpm.value) });
        this.show(this.sides); // until Python has taken it
      },
    });
    this.node = element(
      "fieldset", { class: "speeds" },
      element("legend", { class: "hidden" }, "Speeds of curves and results"),
      element("span", { class: "muted", "aria-hidden": "true" }, "Speeds"),
      element("label", {}, this.radios[RATED], element("span", {}, "each at its rated speed"), this.rated),
      element("label", {}, this.radios[SHARED], element("span", {}, "both at")),
      element("span", { class: "shared" }, this.rpm, element("span", { class: "muted" }, " rpm"))
    );
  }

  show(sides) {
    this.sides = sides;
    const { a, b, rpm } = sides;
    setText(this.rated, [a && `A ${rpmText(a.rated)}`, b && `B ${rpmText(b.rated)}`].filter(Boolean).join(", "));
    this.rpm.value = String(Number(rpm.toFixed(2)));
  }

  choose(view) {
    this.view = view;
    this.radios[view].checked = true;
  }

  /** Speeds of A and B [rpm] in the view; A's is null where there is no A. */
  get rpms() {
    const { a, b, rpm } = this.sides;
    return this.view === SHARED ? { a: a && rpm, b: rpm } : { a: a && a.rated, b: b.rated };
  }

  /** The speeds in words. */
  get words() {
    const { a, b } = this.rpms;
    if (a === null) return `B at ${rpmText(b)}`;
    return this.view === SHARED ? `both at ${rpmText(b)}` : `A at ${rpmText(a)}, B at ${rpmText(b)}`;
  }
}
