"""JavaScript modules joined into one: a component's file with all that it imports.

A module is a plain file that imports names and exports declarations:

    import { element, setText } from "../shared/elements.js";
    export function show() { … }

In a bundle each module but the entry stands in a function of its own, which returns its exports,
after those that it imports from. So two modules may use one name for different things.
"""

import posixpath
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

IMPORT = re.compile(r'^import \{([^{}]*)\} from "([^"]+)";$', re.MULTILINE)
EXPORT = re.compile(
    r"^export (?=(?:const|class|function|async function) ([A-Za-z_$][\w$]*))", re.MULTILINE
)
OTHER = re.compile(r"^(?:import|export)\b.*$", re.MULTILINE)

ReadText = Callable[[str], str]


class BundleError(Exception):
    """Modules that cannot be joined; the message names file and name."""


@dataclass(frozen=True)
class Module:
    """A file's text, what it imports from each file, and the names that it exports."""

    name: str
    text: str
    imports: dict[str, tuple[str, ...]]
    exports: tuple[str, ...]

    @property
    def scope(self) -> str:
        """Return the name of this module's exports in a bundle."""
        return "$" + re.sub(r"\W", "_", self.name.removesuffix(".js"))

    @property
    def body(self) -> str:
        """Return the text with its imports taken from other modules' exports."""
        return IMPORT.sub(
            lambda found: (
                f"const {{{found[1].replace(' as ', ': ')}}} = {_scope(self.name, found[2])};"
            ),
            self.text,
        )

    @property
    def enclosed(self) -> str:
        """Return the module as a function that is run once and returns the exports."""
        inside, exports = EXPORT.sub("", self.body), ", ".join(self.exports)
        return f"const {self.scope} = (() => {{\n{inside}\nreturn {{ {exports} }};\n}})();"


def bundled(entry: str, read: ReadText) -> str:
    """Return a file with all that it imports as one module, `entry`'s exports its own.

    `read` gives the text of a file, or raises OSError. Raises BundleError.
    """
    *needed, last = _in_order(entry, read, {}, ())
    return "\n".join([*(module.enclosed for module in needed), last.body])


def classic(entry: str, read: ReadText) -> str:
    """Return a file with all that it imports as a plain script, which leaves no names behind.

    Raises BundleError, also where the file exports anything.
    """
    *needed, last = _in_order(entry, read, {}, ())
    if last.exports:
        raise BundleError(f"{entry} is a plain script but exports {last.exports[0]}")
    inside = "\n".join([*(module.enclosed for module in needed), last.body])
    return f'(() => {{\n"use strict";\n{inside}\n}})();'


def _in_order(
    name: str, read: ReadText, done: dict[str, Module], above: tuple[str, ...]
) -> Iterator[Module]:
    """Yield a module after those that it imports from, each once; `above` is what leads to it."""
    if name in above:
        circle = " → ".join([*above[above.index(name) :], name])
        raise BundleError(f"modules import one another in a circle: {circle}")
    if name in done:
        return
    module = _module(name, read, above[-1] if above else "")
    for other, names in module.imports.items():
        yield from _in_order(other, read, done, (*above, name))
        for wanted in names:
            if wanted not in done[other].exports:
                raise BundleError(f"{name} imports {wanted}, which {other} does not export")
    done[name] = module
    yield module


def _module(name: str, read: ReadText, needed_by: str) -> Module:
    try:
        text = read(name)
    except OSError as error:
        reason = f", which {needed_by} imports from" if needed_by else ""
        raise BundleError(f"there is no file {name}{reason}") from error
    if unread := OTHER.search(IMPORT.sub("", EXPORT.sub("", text))):
        raise BundleError(f"{name} has an import or export of another form: {unread[0]}")
    imports: dict[str, tuple[str, ...]] = {}
    for names, path in IMPORT.findall(text):
        other = _other(name, path)
        found = tuple(part.split(" as ")[0].strip() for part in names.split(",") if part.strip())
        imports[other] = imports.get(other, ()) + found
    return Module(name, text, imports, tuple(EXPORT.findall(text)))


def _other(name: str, path: str) -> str:
    """Return the file that a path in a module leads to."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), path))


def _scope(name: str, path: str) -> str:
    return Module(_other(name, path), "", {}, ()).scope
