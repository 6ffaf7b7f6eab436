/* Bodies as the library draws them: surfaces and edges with their colours, and what cuts them. */

import { channels, mix } from "../figures/mixed_colours.js";

/** A colour as three shares. */
export function shares(colour) {
  return channels(colour).map((value) => value / 255);
}

/** The library's mesh of some pieces: their triangles, or else their sharp edges. */
export function polyData(vtk, pieces, edges = false) {
  const points = joinedRows(pieces.map((piece) => (edges ? piece.edges : piece.corners)));
  const data = vtk.Common.DataModel.vtkPolyData.newInstance();
  data.getPoints().setData(points, 3);
  if (edges) data.getLines().setData(cells(countTo(points.length / 3), 2));
  else {
    data.getPolys().setData(cells(joinedFaces(pieces), 3));
    const values = joinedRows(pieces.map((piece) => piece.normals));
    data
      .getPointData()
      .setNormals(
        vtk.Common.Core.vtkDataArray.newInstance({
          name: "Normals",
          values,
          numberOfComponents: 3,
        }),
      );
  }
  return data;
}

/** Colour each piece's corners by its ink. */
export function colourPieces(vtk, data, pieces, inks) {
  const values = new Uint8Array(data.getPoints().getNumberOfPoints() * 3);
  let place = 0;
  for (const piece of pieces) {
    const colour = channels(inks[piece.ink]);
    for (let i = 0; i < piece.corners.length; i++) values[place + i] = colour[i % 3];
    place += piece.corners.length;
  }
  data
    .getPointData()
    .setScalars(
      vtk.Common.Core.vtkDataArray.newInstance({ name: "Inks", values, numberOfComponents: 3 }),
    );
  data.modified();
}

/** Something drawn: a mesh that moves by a matrix. */
export function actorOf(vtk, data) {
  const mapper = vtk.Rendering.Core.vtkMapper.newInstance();
  mapper.setInputData(data);
  mapper.setColorModeToDirectScalars();
  mapper.setScalarModeToUsePointData();
  const actor = vtk.Rendering.Core.vtkActor.newInstance();
  actor.setMapper(mapper);
  return actor;
}

/** Lit steel: some light from everywhere, a soft gleam. */
export function makeLit(actor) {
  const property = actor.getProperty();
  property.setAmbient(0.3);
  property.setDiffuse(0.75);
  property.setSpecular(0.18);
  property.setSpecularPower(18);
}

/** One flat colour, whatever the light. */
export function makeFlat(actor, colour) {
  const property = actor.getProperty();
  property.setAmbient(1);
  property.setDiffuse(0);
  property.setSpecular(0);
  property.setColor(...shares(colour));
  actor.getMapper().setScalarVisibility(false);
}

/** Inks of the theme for what is drawn in space. */
export function solidInks(colours) {
  const dark = channels(colours.paper).reduce((sum, value) => sum + value, 0) < 380;
  const lighter = (colour, share) => (dark ? mix(colour, "#ffffff", share) : colour);
  return {
    steel: lighter(colours.steel, 0.32),
    steelDark: lighter(colours.steelDark, 0.26),
    piston: lighter(colours.piston, 0.55),
    rod: lighter(colours.rod, 0.4),
    edge: dark ? mix(colours.paper, colours.text, 0.12) : mix(colours.paper, colours.text, 0.8),
    cut: dark ? mix(colours.paper, colours.text, 0.75) : mix(colours.paper, colours.text, 0.55),
    ghost: mix(colours.paper, colours.text, dark ? 0.6 : 0.5),
  };
}

function joinedRows(rows) {
  const whole = new Float32Array(rows.reduce((sum, row) => sum + row.length, 0));
  let place = 0;
  for (const row of rows) {
    whole.set(row, place);
    place += row.length;
  }
  return whole;
}

function joinedFaces(pieces) {
  const whole = new Uint32Array(pieces.reduce((sum, piece) => sum + piece.faces.length, 0));
  let [place, first] = [0, 0];
  for (const { faces, corners } of pieces) {
    for (const number of faces) whole[place++] = number + first;
    first += corners.length / 3;
  }
  return whole;
}

function countTo(count) {
  return Uint32Array.from({ length: count }, (_, i) => i);
}

/** Cells as the library reads them: the number of corners before those of each. */
export function cells(numbers, corners) {
  const found = new Uint32Array((numbers.length / corners) * (corners + 1));
  for (let i = 0, place = 0; i < numbers.length; i++) {
    if (i % corners === 0) found[place++] = corners;
    found[place++] = numbers[i];
  }
  return found;
}
