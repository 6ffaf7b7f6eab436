/* The moving train, flat or in space: the flat drawing is what a page opens with. */

import { themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { keyIsTaken } from "../shared/keys.js";
import { sendMessage } from "../shared/messages.js";
import { pageState } from "../shared/page_state.js";
import { TrainView } from "../train/train_view.js";
import { decodeDeflection } from "./solid_deflection.js";
import { SolidPanel } from "./solid_panel.js";
import { decodeSolids } from "./solid_scene.js";
import { SolidStage } from "./solid_stage.js";
import { wireTurning } from "./solid_turning.js";
import { hasWebGl2, loadVtk } from "./vtk_loader.js";

const STORED = "sixthrow-3d";
const KEY = "d";
const PHONE = "(max-width: 760px)"; // whose strip has no room for the row of forces

export function render({ model, el }) {
  const view = new SolidTrainView(model, el);
  view.start();
  model.on("remove", () => view.stop());
}

class SolidTrainView extends TrainView {
  /** The flat view's parts, and what switches to the view in space; `space` comes on demand. */
  build(el) {
    super.build(el);
    this.isSolid = false;
    this.isPrepared = false; // fetched, though not shown yet
    this.space = null;
    this.toggle = element(
      "button",
      {
        "aria-pressed": "false",
        title: "Show the train in three dimensions, or flat (d)",
        onclick: () => this.switchTo(!this.isSolid),
        onpointerenter: () => this.prepare(),
        onfocus: () => this.prepare(),
      },
      "3-D",
    );
    this.notice = element("p", { class: "solid-notice", role: "status" });
    this.host = element("div", { class: "solid", role: "img", tabindex: 0, hidden: true });
    this.panel = new SolidPanel(
      () => this.changed(),
      (name) => this.look(name),
    );
    this.panel.hide(true);
    this.stage.before(this.panel.bar);
    this.stage.append(this.host, this.panel.notes, this.notice);
    if (matchMedia(PHONE).matches) this.stage.append(this.toggle);
    else el.querySelector(".pick").before(this.toggle);
  }

  start() {
    super.start();
    this.model.on("solids", () => this.newSolids());
    this.model.on("deflection", () => this.newDeflection());
    if (storedChoice()) this.switchTo(true);
  }

  stop() {
    super.stop();
    this.space?.remove();
  }

  // --- flat or in space -------------------------------------------------------------------

  /** Show the train in space, or flat again. */
  async switchTo(isSolid) {
    if (isSolid && !hasWebGl2()) {
      setText(this.notice, "This browser has no WebGL 2, which the 3-D view needs; 2-D stays.");
      return;
    }
    this.isSolid = isSolid;
    this.isPrepared = false;
    this.toggle.setAttribute("aria-pressed", String(isSolid));
    storeChoice(isSolid);
    this.ask();
    setText(this.notice, isSolid && !this.space ? "Loading the 3-D view …" : "");
    if (isSolid && !this.space) await this.loadStage();
    this.showChoice();
  }

  /** Fetch what it takes to show the train in space, which is likely to be asked for next. */
  prepare() {
    if (this.isPrepared || this.isSolid || !hasWebGl2()) return;
    this.isPrepared = true;
    this.ask();
    loadVtk(this.model.library).catch(() => {}); // said once it is asked for
  }

  /** Tell the program what is shown, where that has changed: it sends what that takes. */
  ask() {
    const shown = this.isSolid || this.isPrepared;
    const wanted = { shown, deflected: this.isSolid && this.panel.bending.isOn };
    const isSame = this.asked?.shown === wanted.shown && this.asked.deflected === wanted.deflected;
    if (isSame) return;
    this.asked = wanted;
    sendMessage(this.model, "solid", wanted);
  }

  changed() {
    this.ask();
    this.draw();
  }

  async loadStage() {
    try {
      const vtk = await loadVtk(this.model.library);
      if (this.space) return;
      this.host.hidden = false;
      this.space = new SolidStage(vtk, this.host);
      this.space.recolour(themeColours());
      pageState.solid = this.space;
      wireTurning(this.host, this.space, (event) => this.pickAt(event));
      this.newSolids();
      this.newDeflection();
    } catch {
      this.isSolid = false;
      this.toggle.setAttribute("aria-pressed", "false");
      setText(this.notice, "The 3-D view could not be loaded; 2-D stays.");
    }
  }

  /** Show what is chosen and ready, and hide the other. */
  showChoice() {
    const isShown = this.isSolid && Boolean(this.space?.solids);
    this.host.hidden = !isShown;
    this.panel.hide(!isShown);
    this.canvas.style.visibility = isShown ? "hidden" : "";
    if (isShown) {
      setText(this.notice, "");
      this.space.resized();
    }
    this.draw();
  }

  /** Take the solids of a design that come from the program, once its scene is there too. */
  newSolids() {
    if (!this.space || !this.model.solids?.length || !this.scene) return;
    const solids = decodeSolids(this.model.solids);
    if (solids.cylinders !== this.scene.cylinders) return;
    this.space.setSolids(solids, this.scene);
    this.panel.setResults(this.space.solids.results);
    this.showChoice();
  }

  /** Take how the shaft bends and twists, at the speed that it was asked for. */
  newDeflection() {
    if (!this.model.deflection?.length) return;
    const deflection = decodeDeflection(this.model.deflection);
    this.panel.bending.deflection = deflection;
    if (this.space) this.space.deflection = deflection;
    this.draw();
  }

  newScene() {
    super.newScene();
    if (this.space && this.space.solids?.cylinders !== this.scene?.cylinders) this.newSolids();
  }

  look(name) {
    this.space.camera.show(name);
    this.space.draw();
  }

  // --- drawing ----------------------------------------------------------------------------

  draw() {
    if (!this.isSolid || !this.space?.solids || !this.scene) return super.draw();
    const view = this.shown();
    this.space.show({ ...view, scene: this.scene, ...this.panel.shown(this.scene) });
    this.panel.showPicked(this.space, this.scene);
    this.panel.showScale(this.scene, this.space.arrows.length > 0);
    return this.words();
  }

  words() {
    super.words();
    if (this.host && !this.time.playing)
      this.host.setAttribute("aria-label", this.canvas.getAttribute("aria-label") ?? "");
  }

  resized() {
    super.resized();
    if (this.isSolid) this.space?.resized();
  }

  recolour() {
    this.space?.recolour(themeColours());
    super.recolour();
  }

  pickAt(event) {
    const picked = this.space.partAt(event);
    this.panel.pick(picked);
    if (picked && picked.cylinder >= 0) this.pick(picked.cylinder);
    this.draw();
  }

  key(event) {
    if (keyIsTaken(event)) return;
    if (event.key === KEY) this.switchTo(!this.isSolid);
    else if (!this.isSolid || !this.space || !this.panel.key(event, this.space)) {
      super.key(event);
      return;
    }
    event.preventDefault();
  }
}

function storedChoice() {
  try {
    return sessionStorage.getItem(STORED) === "1";
  } catch {
    return false;
  }
}

function storeChoice(isSolid) {
  try {
    sessionStorage.setItem(STORED, isSolid ? "1" : "0");
  } catch {
    /* storage may be shut off */
  }
}
