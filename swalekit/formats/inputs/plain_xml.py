"""XML that stands for itself: no document type, and so no entities that grow or pull in other files."""

from xml.etree import ElementTree as ET
from xml.parsers import expat

from swalekit.errors import GeometryError

MOST_BYTES = 200_000_000
"""Larger files are refused: our choice, a thousand times a walked boundary."""


def check_size(size_bytes: int, name: str) -> None:
    """Check that a file is no larger than what is read of its kind.

    Parameters
    ----------
    size_bytes : int
        Its size.
    name : str
        What it is, for the message.

    Raises
    ------
    GeometryError
        If it is larger than `MOST_BYTES`.

    Examples
    --------
    >>> check_size(10**9, "boundary 'land.kml'")
    Traceback (most recent call last):
        ...
    swalekit.errors.GeometryError: boundary 'land.kml' is larger than 200 MB; cut it to the site
    """
    if size_bytes > MOST_BYTES:
        message = f"{name} is larger than {MOST_BYTES // 1_000_000} MB; cut it to the site"
        raise GeometryError(message)


def read_xml(content: bytes, name: str) -> ET.Element:
    """Read XML that declares no document type.

    Parameters
    ----------
    content : bytes
        The file.
    name : str
        What it is, for messages.

    Returns
    -------
    Element
        Its root.

    Raises
    ------
    GeometryError
        If it is no XML, is cut off, is too large, or declares a document type.

    Examples
    --------
    >>> read_xml(b"<kml><Document/></kml>", "boundary").tag
    'kml'
    >>> read_xml(b'<!DOCTYPE kml [<!ENTITY a "b">]><kml>&a;</kml>', "boundary 'land.kml'")
    Traceback (most recent call last):
        ...
    swalekit.errors.GeometryError: boundary 'land.kml' declares a document type, which can pull in other \
files; export it again without
    """
    check_size(len(content), name)

    def refuse(*_: object) -> None:
        message = f"{name} declares a document type, which can pull in other files; export it again without"
        raise GeometryError(message)

    checker = expat.ParserCreate()
    checker.StartDoctypeDeclHandler = refuse
    try:
        checker.Parse(content, True)
        return ET.fromstring(content)
    except (expat.ExpatError, ET.ParseError, LookupError, ValueError) as fault:
        if isinstance(fault, GeometryError):
            raise
        message = f"{name} is damaged XML ({fault}); export it again"
        raise GeometryError(message) from fault
