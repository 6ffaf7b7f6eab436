/* The library that draws in space: loaded from this server once it is asked for. */

let loading = null;
/** @type {boolean | null} */ let canDraw = null; // asked once: each asking takes a context

/** Whether this browser can draw in space. */
export function hasWebGl2() {
  try {
    canDraw ??= document.createElement("canvas").getContext("webgl2") !== null;
    return canDraw;
  } catch {
    return false;
  }
}

/**
 * The library, once it is loaded from an address of this server.
 * @param {string} address
 * @returns {Promise<any>}
 */
export function loadVtk(address) {
  loading ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.onload = () => resolve(window.vtk);
    script.onerror = () => {
      loading = null;
      script.remove();
      reject(new Error(`${address} could not be loaded`));
    };
    script.src = address;
    document.head.append(script);
  });
  return loading;
}
