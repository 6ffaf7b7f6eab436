/* The button of a picture that is no figure of the page. */

/** A button that opens a picture which is no figure of the page; `figure` tells it, or null. */
function pictureButton(label, figure) {
  const open = () => {
    const told = figure();
    if (told) announce("figure", told);
  };
  return element("button", { type: "button", class: "as-table", "aria-label": label, title: "In words, as a file", onclick: open }, "▦");
}
