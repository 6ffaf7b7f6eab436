/* Light or dark: from the last choice, else from the system. Runs before the page is drawn. */

let kept = null;
try {
  kept = localStorage.getItem("sixthrow-theme");
} catch {
  /* storage may be shut off */
}
let projector = null;
try {
  projector = sessionStorage.getItem("sixthrow-projector");
} catch {
  /* the same */
}
if (projector) document.documentElement.setAttribute("data-projector", "");
const dark = matchMedia("(prefers-color-scheme: dark)").matches;
document.documentElement.dataset.theme = kept ?? (dark ? "dark" : "light");
