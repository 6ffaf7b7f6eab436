/* What the JavaScript of the pages is held to; the sizes are those of the Python beside it. */

import js from "@eslint/js";
import globals from "globals";

export default [
  js.configs.recommended,
  {
    languageOptions: { globals: { ...globals.browser, Bokeh: "readonly" } },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      complexity: ["error", 12],
      eqeqeq: "error",
      "max-len": ["error", { code: 100, ignoreUrls: true }],
      "max-lines": ["error", 500],
      "max-lines-per-function": ["error", 60],
      "max-params": ["error", 5],
      "no-shadow": "error",
      "no-unused-vars": ["error", { ignoreRestSiblings: true }],
      "no-use-before-define": ["error", { functions: false, classes: false }],
      "no-var": "error",
      "prefer-const": "error",
    },
  },
  { files: ["viz/browser/figures/svg_context.js"], rules: { "max-params": "off" } }, // canvas's own
  { files: ["tests/javascript/**"], languageOptions: { globals: globals.node } },
];
