/* The page's figures that are fed here: only those in view are fed, and all cursors move together. */

class FilmFigures {
  constructor(feeds) {
    this.feeders = feeds.map(makeFeeder);
    this.visible = new Set();
    this.stopped = false;
  }

  stop() {
    this.stopped = true;
    this.seen?.disconnect();
  }

  /** Run once every figure of the page has been made. */
  whenReady(then) {
    if (this.stopped) return;
    if (figuresAreMade() && this.feeders.every(({ name }) => this.placeOf(name))) then();
    else setTimeout(() => this.whenReady(then), 30);
  }

  placeOf(name) {
    return document.querySelector(`figure[data-plot="${name}"]`);
  }

  /** Watch which figures are in view; `changed` is called when one has come or gone. */
  watch(changed) {
    this.changed = changed;
    this.seen = new IntersectionObserver((entries) => this.sawChange(entries), { rootMargin: "40px" });
    for (const feeder of this.feeders) {
      feeder.place = this.placeOf(feeder.name);
      feeder.element = feeder.place.querySelector(".drawing");
      feeder.readoutNode = feeder.place.querySelector(".readout");
      feeder.place.feeder = feeder;
      this.seen.observe(feeder.place);
    }
  }

  sawChange(entries) {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting) this.visible.add(target.feeder);
      else this.visible.delete(target.feeder);
    }
    this.looked = true;
    this.changed();
  }

  setColours(colours) {
    for (const feeder of this.feeders) feeder.colours = colours;
  }

  /** Show a bearing of a film, and the pinned film's where it has that bearing, in all in view. */
  feed(film, pinned, index) {
    for (const feeder of this.visible) {
      feeder.feedScene(film, pinned, index);
      feeder.element.setAttribute("aria-label", feeder.describe(film, index));
    }
    if (this.looked) shared.painted += 1;
  }

  moveCursors(film, index, angle) {
    const at = angle / film.step;
    for (const feeder of this.visible) {
      feeder.moveCursor(angle, at);
      setText(feeder.readoutNode, feeder.readout(film, index, at));
    }
  }
}

/** Let the page's tabs show and hide their panes, by pointer and by arrow key. */
function wireTabs() {
  const tabs = [...document.querySelectorAll('[role="tab"]')];
  const choose = (chosen) => {
    for (const tab of tabs) {
      tab.setAttribute("aria-selected", tab === chosen);
      tab.tabIndex = tab === chosen ? 0 : -1;
      document.getElementById(tab.getAttribute("aria-controls")).hidden = tab !== chosen;
    }
  };
  tabs.forEach((tab, index) => {
    tab.addEventListener("click", () => choose(tab));
    tab.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!by) return;
      const next = tabs[(index + by + tabs.length) % tabs.length];
      choose(next);
      next.focus();
    });
  });
}
