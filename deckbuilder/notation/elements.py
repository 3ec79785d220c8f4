"""Elements: what MusicXML is put together of."""

from xml.etree.ElementTree import Element, SubElement


def add(parent: Element, name: str, content: object = None, **attributes: str) -> Element:
    """Add an element to another one, and return it.

    Args:
        parent: the other one.
        name: of the element.
        content: its text; None for none.
        attributes: its attributes.
    """
    element = SubElement(parent, name, attributes)
    if content is not None:
        element.text = str(content)
    return element
