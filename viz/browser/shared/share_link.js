/* A link that holds a whole design: version, a point, and the scene deflated as base64url. */

const LINK_VERSION = "1";
const LINK_PREFIX = "#scene=";
const LONGEST_LINK = 200_000; // characters
const LARGEST_SCENE = 2_500_000; // bytes, with a reference and both traces

/** The page's address with a scene in it, a plain object; throws where no page would open it. */
export async function linkOf(scene) {
  const bytes = new TextEncoder().encode(JSON.stringify(scene));
  const packed = await throughStream(bytes, new CompressionStream("deflate-raw"), Infinity);
  let binary = "";
  for (let i = 0; i < packed.length; i += 8192)
    binary += String.fromCharCode(...packed.subarray(i, i + 8192));
  const text = btoa(binary).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  checkLength(text.length + LINK_VERSION.length + 1);
  const { origin, pathname } = window.location;
  return `${origin}${pathname}${LINK_PREFIX}${LINK_VERSION}.${text}`;
}

function checkLength(length) {
  if (length > LONGEST_LINK) {
    throw new Error(`it must have at most ${LONGEST_LINK} characters (got ${length})`);
  }
}

/** Whether the page was opened by such a link. */
export function hasLink() {
  return window.location.hash.startsWith(LINK_PREFIX);
}

/** The scene of the page's address; throws an error whose message says what is wrong with it. */
export async function linkedScene() {
  const text = window.location.hash.slice(LINK_PREFIX.length);
  checkLength(text.length);
  const [, version, body] = /^(\d{1,6})\.([\w-]*)$/.exec(text) ?? [];
  if (version === undefined) throw new Error("it is not a scene: a version, a point and letters");
  if (version !== LINK_VERSION)
    throw new Error(`it must be version ${LINK_VERSION} (got ${version})`);
  let scene;
  try {
    const binary = atob(body.replace(/-/g, "+").replace(/_/g, "/"));
    const packed = Uint8Array.from(binary, (one) => one.charCodeAt(0));
    const bytes = await throughStream(
      packed,
      new DecompressionStream("deflate-raw"),
      LARGEST_SCENE,
    );
    scene = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    throw new Error("it is damaged or cut short");
  }
  if (typeof scene !== "object" || scene === null || typeof scene.text !== "string") {
    throw new Error("it holds no design");
  }
  return scene;
}

/** Take the scene out of the address, so that a reload goes on with what was changed since. */
export function forgetLink() {
  const { pathname, search } = window.location;
  window.history.replaceState(null, "", pathname + search);
}

/** Bytes sent through a stream; more than `most` that come out are an error. */
async function throughStream(bytes, stream, most) {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const parts = [];
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    size += value.length;
    if (size > most) {
      await reader.cancel();
      throw new Error("too large");
    }
    parts.push(value);
  }
  const whole = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
