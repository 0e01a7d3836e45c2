"""Reads a job sheet as a browser would: its elements, their text, what it asks the network for."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

EMPTY = {"meta", "img", "br", "link", "input", "hr"}  # elements without an end tag
FETCHES = {"src", "href", "srcset", "data", "poster", "action", "formaction", "background"}


@dataclass(eq=False)
class Element:
    """One element.

    tag, attrs : as they are written.
    parent : that it stands in; None for the document.
    texts : its own text and that of what stands in it.
    children : elements that stand in it.
    """

    tag: str
    attrs: dict[str, str]
    parent: Element | None
    texts: list[str] = field(default_factory=list)
    children: list[Element] = field(default_factory=list)

    @property
    def text(self) -> str:
        return "".join(self.texts)


class Page(HTMLParser):
    """A page whose tags must all be shut in order."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[Element] = []
        self.naked: list[tuple[Element, str]] = []  # text with the element it stands in
        self.document = self._open = Element("document", {}, None)
        self.feed(html)
        self.close()
        if self._open is not self.document:
            raise AssertionError(f"<{self._open.tag}> is never shut")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        if len(set(names)) != len(names):
            raise AssertionError(f"<{tag}> has an attribute twice")
        element = Element(tag, {name: value or "" for name, value in attrs}, self._open)
        self._open.children.append(element)
        self.elements.append(element)
        if tag not in EMPTY:
            self._open = element

    def handle_endtag(self, tag: str) -> None:
        if tag != self._open.tag or self._open.parent is None:
            raise AssertionError(f"</{tag}> shuts <{self._open.tag}>")
        self._open = self._open.parent

    def handle_data(self, data: str) -> None:
        self.naked.append((self._open, data))
        at: Element | None = self._open
        while at is not None:
            at.texts.append(data)
            at = at.parent

    def all(self, tag: str) -> list[Element]:
        return [element for element in self.elements if element.tag == tag]

    @property
    def by_id(self) -> dict[str, Element]:
        found: dict[str, Element] = {}
        for element in self.elements:
            name = element.attrs.get("id")
            if name is not None:
                if name in found:
                    raise AssertionError(f"two elements have the id {name}")
                found[name] = element
        return found

    @property
    def fetched(self) -> list[str]:
        """Addresses that a browser would ask for, or a reader could follow."""
        return [
            value
            for element in self.elements
            for name, value in element.attrs.items()
            if name in FETCHES and not (element.tag == "data" or value.startswith("data:"))
        ]
