/* The solids of a design decoded: bodies of corners, normals, triangles and sharp edges [m]. */

/** A message as its header and its rows of 32-bit floats. */
export function unpacked(message) {
  const bytes = new Uint8Array(message); // a copy that starts at 0
  const length = new DataView(bytes.buffer).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
  return { header, floats: new Float32Array(bytes.buffer, 4 + length) };
}

/**
 * Decode a message: header length, JSON header, float32 rows.
 * @returns {{cylinders: number, bodies: any[], results: any[]}}
 */
export function decodeSolids(message) {
  const { header, floats } = unpacked(message);
  const row = ([place, size]) => floats.subarray(place, place + size);
  for (const body of header.bodies) {
    for (const piece of body.pieces) {
      for (const key of ["corners", "normals", "edges"]) piece[key] = row(piece[key]);
      piece.faces = Uint32Array.from(row(piece.faces));
    }
  }
  return header;
}
