/* A scene: one message decoded. Loads are gas + speed² · inertia, in display units. */

/** Decode a message: header length, JSON header, float32 rows. */
function decodeScene(message) {
  const bytes = new Uint8Array(message.buffer, message.byteOffset, message.byteLength);
  const length = new DataView(bytes.buffer, bytes.byteOffset).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
  const start = bytes.byteOffset + 4 + length;
  const whole = start % 4 === 0 ? bytes.buffer : bytes.slice(4 + length).buffer;
  const floats = new Float32Array(whole, start % 4 === 0 ? start : 0);
  return new Scene(header, floats);
}

class Scene {
  constructor(header, floats) {
    Object.assign(this, header);
    this.floats = floats;
    this.cache = new Map();
  }

  /** The step of the angle grid [°]. */
  get step() {
    return this.cycleDegrees / this.points;
  }

  /** One part ("gas" or "inertia") of a row over the cycle, or null; `component` 0 is x, 1 is y. */
  part(name, part, index = 0, component = null) {
    const row = this.rows[name];
    if (row[part] === undefined) return null;
    const key = `${name}/${part}/${index}/${component}`;
    let values = this.cache.get(key);
    if (!values) {
      values = this.read(row, part, index, component);
      this.cache.set(key, values);
    }
    return values;
  }

  read(row, part, index, component) {
    const n = this.points;
    const [owner, behind] = row.perCylinder ? this.like[index] : [index, 0];
    const line = component === null ? owner : owner * row.shape[row.shape.length - 1] + component;
    const sent = this.floats.subarray(row[part] + line * n, row[part] + (line + 1) * n);
    if (behind === 0) return sent;
    const values = new Float32Array(n);
    const cut = ((behind % n) + n) % n;
    values.set(sent.subarray(n - cut), 0);
    values.set(sent.subarray(0, n - cut), cut);
    return values;
  }

  /** A whole row over the cycle at the scene's speed: "gas", "inertia" or "both". */
  curve(name, part, index = 0, component = null) {
    const gas = part === "inertia" ? null : this.part(name, "gas", index, component);
    const inertia = part === "gas" ? null : this.part(name, "inertia", index, component);
    const factor = this.speed * this.speed;
    const out = new Float32Array(this.points);
    for (let i = 0; i < out.length; i++) {
      out[i] = (gas ? gas[i] : 0) + (inertia ? factor * inertia[i] : 0);
    }
    return out;
  }

  /** A load at a fractional grid index, straight between points. */
  load(name, index, component, at) {
    const gas = this.part(name, "gas", index, component);
    const inertia = this.part(name, "inertia", index, component);
    return (
      (gas ? between(gas, at) : 0) + (inertia ? this.speed * this.speed * between(inertia, at) : 0)
    );
  }

  /** A row that does not depend on speed. */
  row(name, index) {
    return this.part(name, "gas", index);
  }

  /** Size of each order of a component of "force" or "moment", at the scene's speed. */
  orderSizes(kind, component) {
    const { gas, inertia } = this.orders[kind];
    const factor = this.speed * this.speed;
    return inertia[component].map(([re, im], k) => {
      const [gasRe, gasIm] = gas ? gas[component][k] : [0, 0];
      return Math.hypot(gasRe + factor * re, gasIm + factor * im);
    });
  }

  /** The same design at another speed [rad/s], sharing all rows. */
  at(speed) {
    const other = Object.create(Object.getPrototypeOf(this));
    return Object.assign(other, this, { speed });
  }
}

/** The value of a periodic row at a fractional index. */
function between(values, at) {
  const n = values.length;
  const floor = Math.floor(at);
  const low = ((floor % n) + n) % n;
  const high = low + 1 === n ? 0 : low + 1;
  const share = at - floor;
  return values[low] * (1 - share) + values[high] * share;
}
