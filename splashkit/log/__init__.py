"""The shot log: ``shots.csv``, one row a frame, opens in any spreadsheet.

Heights are of a drop's middle or a column's top above the still surface. In memory everything is
SI; in the file every column names its unit. A row is one line. Columns this version does not know
stay as they are. A damaged file is reported by line and field and never written to: new rows go
beside it, in ``shots.new.csv``, and both are read.
"""

from splashkit.log.files import FILE_NAME, Log, append, correct, download, from_bytes, load, path, to_bytes, upload
from splashkit.log.shot import CLIP_EVENTS, COLUMNS, SEEN, SURFACES, Column, Shot, check_entry

__all__ = [
    "CLIP_EVENTS",
    "COLUMNS",
    "FILE_NAME",
    "SEEN",
    "SURFACES",
    "Column",
    "Log",
    "Shot",
    "append",
    "check_entry",
    "correct",
    "download",
    "from_bytes",
    "load",
    "path",
    "to_bytes",
    "upload",
]
