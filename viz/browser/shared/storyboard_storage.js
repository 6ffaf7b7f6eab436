/* The storyboard as this tab keeps it: its text, and the place of the selected step. */

const STORYBOARD = "sixthrow-storyboard";
export const NO_ROOM = "This tab has no room to store the storyboard";

export function keptStoryboard() {
  try {
    return JSON.parse(sessionStorage.getItem(STORYBOARD));
  } catch {
    return null;
  }
}

/** Keep the text, the place or both; returns whether there was room. */
export function keepStoryboard(what) {
  try {
    sessionStorage.setItem(STORYBOARD, JSON.stringify({ ...keptStoryboard(), ...what }));
    return true;
  } catch {
    /* storage may be too small or shut off */
    return false;
  }
}
