/* The links to the pages, in the top bar and on a page: the design goes along. */

import { element } from "./elements.js";

/** Links to pages, each [label, address]; `leave` gets the address of another page to go to. */
export function pageLinks(pages, current, leave) {
  const links = pages.map((page) => pageLink(page, page[0] === current, leave));
  const nav = element("nav", { "aria-label": "Pages" }, ...links);
  const here = links.find((link) => link.hasAttribute("aria-current"));
  if (here)
    requestAnimationFrame(
      () => (nav.scrollLeft = here.offsetLeft - nav.offsetLeft - nav.clientWidth / 3),
    );
  return nav;
}

/** A link to a page, [label, address]. */
export function pageLink([label, href], isHere, leave) {
  const link = element("a", { href, "aria-current": isHere ? "page" : null }, label);
  leaveByLink(link, leave);
  return link;
}

/** Let the links of class "to-page" below a node leave as those of the top bar do. */
export function leaveByLinks(node, leave) {
  for (const link of node.querySelectorAll("a.to-page")) leaveByLink(link, leave);
}

/** A plain click goes by `leave`, which stores the design first; any other as the browser does. */
function leaveByLink(link, leave) {
  link.addEventListener("click", (event) => {
    if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    if (!link.hasAttribute("aria-current")) leave(link.href);
  });
}
