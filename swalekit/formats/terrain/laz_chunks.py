"""Whether the chunks of a LAZ file fit together: a damaged length would make the decompressor fill the memory."""

import struct
from itertools import accumulate
from typing import TYPE_CHECKING, BinaryIO

if TYPE_CHECKING:
    from laspy import LasHeader

_POINTWISE, _LAYERED = 1, 3
"""Kinds of LAZ: without chunks, and with chunks of which each is stored by layers."""

_ITEMS_AT, _ITEM = 32, struct.Struct("<HHH")
"""Where the LAZ record lists what a point consists of; kind, bytes and version of each."""

_LAYERS = {10: 9, 11: 1, 12: 2, 13: 1}
"""Layers by kind of item; the others, extra bytes, have one a byte."""


def chunks_fit(opened: BinaryIO, header: "LasHeader") -> bool:
    """Whether chunks and layers fill the file as its tables say, and hold the points that the header counts.

    Parameters
    ----------
    opened : BinaryIO
        The file.
    header : LasHeader
        Its header.

    Returns
    -------
    bool
        False where the file is damaged or cut short, as far as that shows without decompression.
    """
    import lazrs

    record = header.vlrs.get("LasZipVlr")[0].record_data
    vlr = lazrs.LazVlr(record)
    if vlr.item_size() != header.point_format.size:
        return False
    if struct.unpack_from("<H", record)[0] == _POINTWISE:
        return True
    first = header.offset_to_point_data + 8
    size = opened.seek(0, 2)
    opened.seek(first - 8)
    (table_at,) = struct.unpack("<q", opened.read(8))
    if table_at == -1:  # written in one go, so that the table's place was only known at the end
        opened.seek(size - 8)
        (table_at,) = struct.unpack("<q", opened.read(8))
    if not first <= table_at <= size - 8:
        return False
    opened.seek(table_at + 4)
    (n_chunks,) = struct.unpack("<I", opened.read(4))
    if n_chunks * vlr.item_size() > size:  # a chunk begins with a whole point
        return False
    opened.seek(first - 8)
    chunks = [(int(n_points), int(n_bytes)) for n_points, n_bytes in lazrs.read_chunk_table(opened, vlr)]
    if sum(n for n, _ in chunks) < header.point_count or sum(n_bytes for _, n_bytes in chunks) != table_at - first:
        return False
    starts = accumulate((n_bytes for _, n_bytes in chunks), initial=first)
    return all(_layers_fit(opened, start, n_bytes, record) for start, (_, n_bytes) in zip(starts, chunks, strict=False))


def _layers_fit(opened: BinaryIO, start: int, n_bytes: int, record: bytes) -> bool:
    """Whether the layers of a chunk are as long as the chunk; true where it has none."""
    kind, (n_items,) = struct.unpack_from("<H", record)[0], struct.unpack_from("<H", record, _ITEMS_AT)
    items = [_ITEM.unpack_from(record, _ITEMS_AT + 2 + _ITEM.size * item) for item in range(n_items)]
    if kind != _LAYERED or n_bytes == 0:
        return True
    n_layers = sum(_LAYERS.get(item, size) for item, size, _ in items)
    head = sum(size for _, size, _ in items)
    opened.seek(start + head)
    _, *layers = struct.unpack(f"<{1 + n_layers}I", opened.read(4 * (1 + n_layers)))
    return bool(head + 4 * (1 + n_layers) + sum(layers) == n_bytes)
