"""MusicXML against its published schema.

Source: W3C Music Notation Community Group, MusicXML 4.0, `musicxml.xsd`, as the package `musicxml` carries it. The two
schemas that it imports are stood in for: attributes of XML and XLink that the documents here do not use.
"""

from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from deckbuilder.notation.description import Score
from deckbuilder.notation.musicxml import musicxml, musicxml_file
from tests.notation.test_musicxml import PAGE, SCORES, TITLE

_XLINK = "href type role title show actuate"
_XML = "lang space"


@pytest.fixture(scope="module")
def schema() -> Any:
    from lxml import etree

    class Imported(etree.Resolver):  # type: ignore[misc]
        def resolve(self, url: str, public: str, context: Any) -> Any:
            if url.endswith("xlink.xsd"):
                return self.resolve_string(_attributes("http://www.w3.org/1999/xlink", _XLINK), context)
            if url.endswith("xml.xsd"):
                return self.resolve_string(_attributes("http://www.w3.org/XML/1998/namespace", _XML), context)
            return None

    found = find_spec("musicxml")
    assert found is not None
    assert found.origin is not None
    parser = etree.XMLParser()
    parser.resolvers.add(Imported())
    path = Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    return etree.XMLSchema(etree.parse(str(path), parser))


def _attributes(namespace: str, names: str) -> str:
    declared = "".join(f'<xs:attribute name="{name}" type="xs:string"/>' for name in names.split())
    return (
        f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{namespace}">{declared}</xs:schema>'
    )


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_documents_are_valid(schema: Any, score: Score) -> None:
    from lxml import etree

    for document in (musicxml(score), musicxml_file(TITLE, [(score, PAGE), (score, PAGE)])):
        assert schema.validate(etree.fromstring(document)), schema.error_log


def test_the_schema_finds_faults(schema: Any) -> None:
    from lxml import etree

    document = musicxml(SCORES["line"]).replace(b"<fret>", b"<freed>").replace(b"</fret>", b"</freed>")
    assert not schema.validate(etree.fromstring(document))
