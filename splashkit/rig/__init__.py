"""One rig's measured numbers, typed once: every lesson starts from them.

A blank (None) means "not measured yet" and is never invented. In memory every number is SI;
in ``rig.json`` every key names its unit, such as ``nozzle_height_mm``. Keys this version does
not know are kept and written back.
"""

from splashkit.rig.entries import BY_NAME, CHAINS, ENTRIES, FLASH_KINDS, LINKS, LIQUIDS, Entry
from splashkit.rig.files import load, load_or_demo, path, save, upload
from splashkit.rig.numbers import Rig, demo, describe
from splashkit.rig.text import FILE_NAME, LARGEST_FILE, from_bytes, to_bytes

__all__ = [
    "BY_NAME",
    "CHAINS",
    "ENTRIES",
    "FILE_NAME",
    "FLASH_KINDS",
    "LARGEST_FILE",
    "LINKS",
    "LIQUIDS",
    "Entry",
    "Rig",
    "demo",
    "describe",
    "from_bytes",
    "load",
    "load_or_demo",
    "path",
    "save",
    "to_bytes",
    "upload",
]
