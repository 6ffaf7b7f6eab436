/* The crank train in space on a stage of the page: made of its solids, posed and drawn. */

import { arrowMesh, forceArrows } from "./solid_arrows.js";
import {
  actorOf,
  cells,
  colourPieces,
  makeFlat,
  makeLit,
  polyData,
  shares,
  solidInks,
} from "./solid_actors.js";
import { HALF_VIEW, SolidCamera } from "./solid_camera.js";
import { moveCorners, sectionMotions, sectionsOf } from "./solid_deflection.js";
import { APART, solidPlan, solidPose } from "./solid_pose.js";
import { nearestPart } from "./solid_picking.js";
import { rowsOf, useColour, valueAt } from "./solid_results.js";

const OF_SHAFT = ["crankshaft", "main journal", "crankpin"];
const GHOSTS = ["bore", "rigid shaft"]; // drawn pale
const MOVING = ["piston", "piston pin", "rod", "rod cap"];
const CAUSES = ["gas", "inertia", "both"];

export class SolidStage {
  /**
   * @param {any} vtk the library
   * @param {HTMLElement} host what it fills
   */
  constructor(vtk, host) {
    this.vtk = vtk;
    this.host = host;
    this.camera = new SolidCamera();
    this.parts = []; // what is drawn: {kind, number, cylinder, actor, body}
    this.shown = null;
    this.frames = 0;
    this.cuts = []; // the insides of what is cut: {actor, part}
    this.cutAt = null; // cylinder
    /** @type {any} */ this.deflection = null; // how the shaft bends and twists
    /** @type {Float64Array | null} */ this.motions = null; // of its sections, while shown
    /** @type {Record<string, any>} */ this.arrowActors = null;
    this.makeWindow();
  }

  makeWindow() {
    const { Core, OpenGL } = this.vtk.Rendering;
    this.window = Core.vtkRenderWindow.newInstance();
    this.window.setNumberOfLayers(2);
    this.renderer = Core.vtkRenderer.newInstance();
    this.over = Core.vtkRenderer.newInstance({ preserveColorBuffer: true });
    this.over.setLayer(1);
    this.over.setActiveCamera(this.renderer.getActiveCamera());
    this.canvas = OpenGL.vtkRenderWindow.newInstance();
    for (const renderer of [this.renderer, this.over]) {
      this.window.addRenderer(renderer);
      this.light(renderer);
    }
    this.canvas.setContainer(this.host);
    this.window.addView(this.canvas);
  }

  /** A key light over the viewer's left shoulder, and a weaker one from the other side. */
  light(renderer) {
    renderer.setAutomaticLightCreation(false);
    renderer.removeAllLights();
    for (const [position, intensity] of [
      [[-0.7, 0.9, 1], 0.85],
      [[0.9, -0.1, 0.7], 0.4],
    ]) {
      const light = this.vtk.Rendering.Core.vtkLight.newInstance({
        position,
        focalPoint: [0, 0, 0],
        intensity,
        lightType: "CameraLight",
      });
      renderer.addLight(light);
    }
  }

  // --- what is drawn ----------------------------------------------------------------------

  /** Show the solids of a design, for a scene of it. */
  setSolids(solids, scene) {
    for (const { actor } of [...this.parts, ...this.cuts]) this.renderer.removeActor(actor);
    this.cuts = [];
    this.cutAt = null;
    this.motions = null;
    this.solids = solids;
    this.plan = solidPlan(scene);
    this.parts = [];
    for (const body of solids.bodies) this.addBody(body, scene.parts.cylinders.length);
    this.addEdges(solids.bodies, scene.parts.cylinders.length);
    if (this.colours) this.recolour(this.colours);
  }

  addBody(body, cylinders) {
    const data = polyData(this.vtk, body.pieces);
    const shaft = OF_SHAFT.includes(body.kind);
    for (let c = shaft ? -1 : 0; c < (shaft ? 0 : cylinders); c++)
      this.addPart({ ...body, body, data, cylinder: c, number: shaft ? body.number : c + 1 });
  }

  /** The sharp edges: those of the shaft in one, of the other parts beside each. */
  addEdges(bodies, cylinders) {
    const shaft = bodies.filter(({ kind }) => OF_SHAFT.includes(kind));
    const pieces = shaft.flatMap((body) => body.pieces);
    const line = { kind: "edges", of: "crankshaft", cylinder: -1 };
    this.addPart({ ...line, data: polyData(this.vtk, pieces, true) });
    this.addPart({ ...line, of: "rigid shaft", data: polyData(this.vtk, pieces, true) });
    for (const body of bodies) {
      if (OF_SHAFT.includes(body.kind) || body.kind === "piston pin") continue;
      const data = polyData(this.vtk, body.pieces, true);
      for (let c = 0; c < cylinders; c++)
        this.addPart({ kind: "edges", of: body.kind, data, cylinder: c });
    }
  }

  addPart(part) {
    const actor = actorOf(this.vtk, part.data);
    if (part.kind !== "edges") makeLit(actor);
    if (part.kind === "bore") actor.getProperty().setOpacity(0.09);
    this.renderer.addActor(actor);
    this.parts.push({ ...part, actor });
  }

  recolour(colours) {
    this.colours = colours;
    this.inks = solidInks(colours);
    for (const renderer of [this.renderer, this.over])
      renderer.setBackground(...shares(colours.paper), 1);
    const coloured = new Set(); // the cylinders share the meshes of their parts
    for (const { kind, body, data, actor, of } of this.parts) {
      if (kind === "edges") makeFlat(actor, GHOSTS.includes(of) ? this.inks.ghost : this.inks.edge);
      else if (kind === "bore") makeFlat(actor, this.inks.ghost);
      else if (!coloured.has(data)) colourPieces(this.vtk, data, body.pieces, this.inks);
      coloured.add(data);
    }
    for (const { actor } of this.cuts) makeFlat(actor, this.inks.cut);
    this.draw();
  }

  // --- what is shown ----------------------------------------------------------------------

  /**
   * Show the train at an angle.
   * @param {any} shown scene, angle [°], cylinder, arrows, apart (0 to 1), isCut, hasBores, byUse,
   *   deflected: {which, factor} or null
   */
  show(shown) {
    this.shown = shown;
    const { scene, angle, apart } = shown;
    if (this.solids?.cylinders !== scene.cylinders) return;
    this.points = reachOf(scene.parts, apart);
    if (this.plan.parts !== scene.parts) this.plan = solidPlan(scene);
    this.pose = solidPose(this.plan, scene, angle, apart);
    for (const part of this.parts) this.place(part);
    this.bend();
    this.showCut();
    this.showUse();
    this.showArrows();
    this.draw();
  }

  place(part) {
    const kind = part.of ?? part.kind;
    const own = part.cylinder < 0 ? this.pose.shaft : this.pose.cylinders[part.cylinder][kind];
    const isBent = Boolean(this.shown.deflected);
    part.matrix = own;
    part.actor.setUserMatrix(Float64Array.from(own));
    if (kind === "bore") part.actor.setVisibility(this.shown.hasBores && this.shown.apart === 0);
    else if (kind === "rigid shaft") part.actor.setVisibility(isBent);
    else if (MOVING.includes(part.kind)) part.actor.setVisibility(!isBent);
    else if (MOVING.includes(kind))
      part.actor.getProperty().setColor(...shares(isBent ? this.inks.ghost : this.inks.edge));
  }

  /** Move the shaft's corners as its sections bend and twist, or back to where they are. */
  bend() {
    const { scene, deflected } = this.shown;
    const { deflection } = this;
    if (!deflected && !this.motions) return;
    this.motions = deflected
      ? sectionMotions(deflection, scene, this.plan.at, deflected.which)
      : null;
    for (const part of this.parts) {
      if (part.cylinder >= 0 || part.of === "rigid shaft") continue;
      const points = part.data.getPoints();
      part.rest ??= Float32Array.from(points.getData());
      if (!this.motions) points.getData().set(part.rest);
      else {
        if (part.bentOf !== deflection) {
          part.sections = sectionsOf(part.rest, deflection.place);
          part.bentOf = deflection;
        }
        moveCorners(points.getData(), part.rest, part.sections, this.motions, deflected.factor);
      }
      points.modified();
      part.data.modified();
    }
  }

  /** Colour what has a result by its share of the allowable. */
  showUse() {
    const { scene, byUse } = this.shown;
    for (const { kind, number, actor } of this.parts) {
      const result = byUse && this.solids.results.find((one) => one.kind === kind);
      const isColoured = kind !== "edges" && kind !== "bore";
      if (!isColoured) continue;
      actor.getMapper().setScalarVisibility(!result);
      if (!result) continue;
      const rows = rowsOf(kind, number, this.plan.parts);
      const share = valueAt(result, scene, rows, this.plan.at) / result.allowable;
      actor.getProperty().setColor(...shares(useColour(share, this.colours)));
    }
  }

  // --- the section ------------------------------------------------------------------------

  /** Cut all away that is before the middle of the selected cylinder, or nothing. */
  showCut() {
    const { isCut, cylinder } = this.shown;
    const wanted = isCut ? cylinder : null;
    if (this.cutAt === wanted) return this.placeCuts();
    for (const { actor } of this.cuts) this.renderer.removeActor(actor);
    this.cuts = [];
    this.cutAt = wanted;
    for (const { actor } of this.parts) actor.getMapper().removeAllClippingPlanes();
    if (wanted === null) return null;
    const plane = this.vtk.Common.DataModel.vtkPlane.newInstance({
      normal: [0, 0, -1],
      origin: [0, 0, -this.plan.parts.cylinders[wanted].z],
    });
    for (const part of this.parts) {
      part.actor.getMapper().addClippingPlane(plane);
      if (this.isCutThrough(part)) this.addCut(part, plane);
    }
    return this.placeCuts();
  }

  isCutThrough({ kind, number, cylinder }) {
    const own = this.plan.parts.cylinders[this.cutAt].throw;
    if (kind === "crankpin") return number === own;
    if (cylinder < 0 || kind === "edges" || kind === "bore") return false;
    return this.plan.parts.cylinders[cylinder].throw === own;
  }

  /** The inside of a part that is cut, flat, so that its section reads as a face. */
  addCut(part, plane) {
    const actor = actorOf(this.vtk, part.data);
    actor.getMapper().addClippingPlane(plane);
    makeFlat(actor, this.inks.cut);
    actor.getProperty().setFrontfaceCulling(true);
    this.renderer.addActor(actor);
    this.cuts.push({ actor, part });
  }

  placeCuts() {
    for (const { actor, part } of this.cuts) {
      actor.setUserMatrix(Float64Array.from(part.matrix));
      actor.setVisibility(part.actor.getVisibility());
    }
  }

  // --- arrows -----------------------------------------------------------------------------

  /** The forces asked for, each cause in its colour, over everything. */
  showArrows() {
    const { scene, arrows, cylinder, apart } = this.shown;
    this.arrows = apart > 0 ? [] : forceArrows(this.plan, scene, { arrows, cylinder });
    this.arrowActors ??= Object.fromEntries(CAUSES.map((cause) => [cause, this.arrowActor()]));
    const thick = 0.024 * this.plan.parts.block.bore;
    for (const cause of CAUSES) {
      const own = this.arrows.filter((arrow) => causeOf(arrow) === cause);
      const { actor, data } = this.arrowActors[cause];
      const mesh = arrowMesh(own, thick);
      actor.setVisibility(mesh.faces.length > 0);
      if (!mesh.faces.length) continue;
      fill(this.vtk, data, mesh);
      actor.getProperty().setColor(...shares(this.colours[cause] ?? this.colours.text));
    }
  }

  arrowActor() {
    const data = this.vtk.Common.DataModel.vtkPolyData.newInstance();
    const actor = actorOf(this.vtk, data);
    makeLit(actor);
    actor.getProperty().setAmbient(0.6);
    this.over.addActor(actor);
    return { actor, data };
  }

  // --- drawing ----------------------------------------------------------------------------

  resized() {
    const { width, height } = this.host.getBoundingClientRect();
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    this.size = [Math.max(1, Math.floor(width * ratio)), Math.max(1, Math.floor(height * ratio))];
    this.canvas.setSize(...this.size);
    this.draw();
  }

  /** Draw once before the next picture of the screen, however often it is asked for. */
  draw() {
    if (this.isAsked || !this.solids || !this.size || !this.pose) return;
    this.isAsked = true;
    requestAnimationFrame(() => {
      this.isAsked = false;
      if (!this.isGone) this.drawNow();
    });
  }

  drawNow() {
    const { focus, position, up, distance } = this.camera.place(
      this.points,
      this.size[0] / this.size[1],
    );
    const camera = this.renderer.getActiveCamera();
    camera.set({ position, focalPoint: focus, viewUp: up, viewAngle: (360 * HALF_VIEW) / Math.PI });
    const { nose, flange, rod } = this.plan.parts;
    const reach = flange.z - nose.z + 3 * rod.length;
    camera.setClippingRange(Math.max(0.02 * distance, distance - reach), distance + reach);
    this.window.render();
    this.frames += 1;
  }

  /** The part under a pointer, or null. */
  partAt({ clientX, clientY }) {
    const host = this.host.getBoundingClientRect();
    const { position } = this.camera.place(this.points, this.size[0] / this.size[1]);
    const { right, up, back } = this.camera.axes;
    const tan = (2 * Math.tan(HALF_VIEW)) / host.height;
    const x = (clientX - host.left - host.width / 2) * tan;
    const y = (host.top + host.height / 2 - clientY) * tan;
    const along = back.map((value, i) => x * right[i] + y * up[i] - value);
    const solid = this.parts.filter(({ kind }) => kind !== "edges" && kind !== "bore");
    const front = this.cutAt === null ? Infinity : -this.plan.parts.cylinders[this.cutAt].z;
    return nearestPart({ from: position, along }, solid, (point) => point[2] <= front);
  }

  remove() {
    this.isGone = true;
    this.canvas.delete();
    this.window.delete();
  }
}

/** The colour's cause of an arrow: what is neither gas nor inertia is both. */
function causeOf({ cause }) {
  return CAUSES.includes(cause) ? cause : "both";
}

/** Give a mesh of the library new corners and triangles. */
function fill(vtk, data, mesh) {
  data.getPoints().setData(mesh.corners, 3);
  data.getPolys().setData(cells(mesh.faces, 3));
  data
    .getPointData()
    .setNormals(
      vtk.Common.Core.vtkDataArray.newInstance({
        name: "Normals",
        values: mesh.normals,
        numberOfComponents: 3,
      }),
    );
  data.getPoints().modified();
  data.modified();
}

/** Points [m] that all parts stay between: round the shaft's ends, over the outer cylinders. */
export function reachOf(parts, apart) {
  const [up, down] = [APART.piston, APART.shaft].map((share) => share * apart * parts.rod.length);
  const { block, crank_radius: radius, web, rod, counterweights, nose, flange } = parts;
  const round = Math.max(
    radius + Math.max(web.pin_end_radius, rod.big_end_outer_radius),
    ...counterweights.map((weight) => weight.outer_radius),
  );
  const points = [];
  const ends = [parts.main_journal.z[0], parts.main_journal.z.at(-1)];
  for (let k = 0; k < 16; k++) {
    const [x, y] = [Math.sin((k * Math.PI) / 8), Math.cos((k * Math.PI) / 8)];
    for (const z of ends) points.push([round * x, round * y + down, -z]);
    points.push([(nose.diameter / 2) * x, (nose.diameter / 2) * y + down, -nose.z]);
    const wide = flange.diameter / 2;
    points.push([wide * x, wide * y + down, -flange.z - flange.length]);
  }
  const [tall, half] = [block.deck_height + up, block.bore / 2 + block.wall_thickness];
  for (const { bank_angle, z } of parts.cylinders) {
    const [sin, cos] = [Math.sin(bank_angle), Math.cos(bank_angle)];
    for (const [side, along] of [
      [-half, 0],
      [half, 0],
      [0, half],
      [0, -half],
    ])
      points.push([side * cos + tall * sin, tall * cos - side * sin, along - z]);
  }
  return points;
}
