/* A scene: one message decoded. Loads are gas + speed² · inertia, in display units.
 * A row of several gas courses is blended by speed: straight between `gasSpeeds`, level beyond. */

/** Decode a message: header length, JSON header, float32 rows. */
export function decodeScene(message) {
  const bytes = new Uint8Array(message.buffer, message.byteOffset, message.byteLength);
  const length = new DataView(bytes.buffer, bytes.byteOffset).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
  const start = bytes.byteOffset + 4 + length;
  const whole = start % 4 === 0 ? bytes.buffer : bytes.slice(4 + length).buffer;
  const floats = new Float32Array(whole, start % 4 === 0 ? start : 0);
  return new Scene(header, floats);
}

export class Scene {
  /** What the header brings. */
  points = 0;
  cycleDegrees = 0;
  cylinders = 0;
  speed = 0; // rad/s
  /** @type {number[]} */ gasSpeeds = [];
  /**
   * For each cylinder, the one whose row it has, and how far behind.
   * @type {[number, number][]}
   */
  like = [];
  /** @type {Record<string, any>} */ rows = {};
  /** @type {any} */ orders = null;

  constructor(header, floats) {
    Object.assign(this, header);
    this.floats = floats;
    this.cache = new Map();
    this.blendedAt = { speed: NaN }; // shared with the cache by all speeds of a design
  }

  /** The step of the angle grid [°]. */
  get step() {
    return this.cycleDegrees / this.points;
  }

  /** One part ("gas" or "inertia") of a row over the cycle, or null; `component` 0 is x, 1 is y. */
  part(name, part, index = 0, component = null) {
    const row = this.rows[name];
    if (row[part] === undefined) return null;
    const blended = part === "gas" && row.courses > 1;
    const key = `${name}/${part}/${index}/${component}${blended ? `@${this.speed}` : ""}`;
    let values = this.cache.get(key);
    if (!values) {
      values = blended ? this.blend(row, index, component) : this.read(row, part, index, component);
      if (blended) this.forgetOtherSpeeds();
      this.cache.set(key, values);
    }
    return values;
  }

  /** The blends kept are those of one speed: the cache is shared by all speeds of a design. */
  forgetOtherSpeeds() {
    if (this.blendedAt.speed === this.speed) return;
    this.blendedAt.speed = this.speed;
    for (const key of this.cache.keys()) if (key.includes("@")) this.cache.delete(key);
  }

  /** The gas courses that count at the scene's speed: [[which, share], …]. */
  get gasShares() {
    const speeds = this.gasSpeeds;
    const last = speeds.length - 1;
    const next = speeds.findIndex((speed) => speed > this.speed);
    if (next === 0) return [[0, 1]];
    if (next < 0) return [[last, 1]];
    const share = (this.speed - speeds[next - 1]) / (speeds[next] - speeds[next - 1]);
    return share === 0
      ? [[next - 1, 1]]
      : [
          [next - 1, 1 - share],
          [next, share],
        ];
  }

  blend(row, index, component) {
    const out = new Float32Array(this.points);
    for (const [course, share] of this.gasShares) {
      const values = this.read(row, "gas", index, component, course);
      for (let i = 0; i < out.length; i++) out[i] += share * values[i];
    }
    return out;
  }

  read(row, part, index, component, course = 0) {
    const n = this.points;
    const [owner, behind] = row.perCylinder ? this.like[index] : [index, 0];
    const own = component === null ? owner : owner * row.shape[row.shape.length - 1] + component;
    const line = own + course * row.shape.reduce((product, count) => product * count, 1);
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

  /** A row without an inertia part. */
  row(name, index) {
    return this.part(name, "gas", index);
  }

  /** Size of each order of a component of "force" or "moment", at the scene's speed. */
  orderSizes(kind, component) {
    const { gas, inertia } = this.orders[kind];
    const factor = this.speed * this.speed;
    const shares = gas ? this.gasShares : [];
    return inertia[component].map(([re, im], k) => {
      const sum = (i) =>
        shares.reduce((total, [course, share]) => total + share * gas[course][component][k][i], 0);
      return Math.hypot(sum(0) + factor * re, sum(1) + factor * im);
    });
  }

  /** The same design at another speed [rad/s], sharing all rows. */
  at(speed) {
    const other = Object.create(Object.getPrototypeOf(this));
    return Object.assign(other, this, { speed });
  }
}

/** The value of a periodic row at a fractional index. */
export function between(values, at) {
  const n = values.length;
  const floor = Math.floor(at);
  const low = ((floor % n) + n) % n;
  const high = low + 1 === n ? 0 : low + 1;
  const share = at - floor;
  return values[low] * (1 - share) + values[high] * share;
}
