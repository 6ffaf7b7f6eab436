/* What the pages' JavaScript finds in a page, for the type checker alone. */

declare const Bokeh: any;

interface Window {
  Bokeh: any;
  vtk: any;
}

interface ParentNode {
  querySelector(selectors: string): any;
  querySelectorAll(selectors: string): NodeListOf<any>;
}

interface Document {
  getElementById(id: string): any;
}

interface Element {
  term?: { name: string; text: string };
}
