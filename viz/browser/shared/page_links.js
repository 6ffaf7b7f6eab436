/* The links to the pages in the top bar. */

import { element } from "./elements.js";

/** Links to pages, each [label, address]; `leave` gets the address of another page to go to. */
export function pageLinks(pages, current, leave) {
  const links = pages.map(([label, href]) =>
    element(
      "a",
      {
        href,
        "aria-current": label === current ? "page" : null,
        onclick: (event) => {
          if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey)
            return;
          event.preventDefault();
          if (label !== current) leave(event.currentTarget.href);
        },
      },
      label,
    ),
  );
  const nav = element("nav", { "aria-label": "Pages" }, ...links);
  const here = links.find((link) => link.hasAttribute("aria-current"));
  if (here)
    requestAnimationFrame(
      () => (nav.scrollLeft = here.offsetLeft - nav.offsetLeft - nav.clientWidth / 3),
    );
  return nav;
}
