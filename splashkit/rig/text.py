"""A rig as the text of ``rig.json``, there and back, with the unit in every key."""

from __future__ import annotations

import json
import re
from collections import Counter
from typing import Any

from splashkit import store
from splashkit.rig.entries import BY_KEY, ENTRIES
from splashkit.rig.numbers import Rig

FILE_NAME = "rig.json"
LARGEST_FILE = 1_000_000  # [bytes] a rig is some 2 kB


def to_bytes(rig: Rig) -> bytes:
    """Write a rig as the bytes of ``rig.json``, for saving or for download.

    Parameters
    ----------
    rig : Rig
        The rig, in SI [mixed units].

    Returns
    -------
    bytes
        UTF-8 JSON text with the unit in every key.

    Raises
    ------
    ValueError
        Never for a rig that could be made.

    Notes
    -----
    Valid for every rig; numbers keep 12 significant digits.

    Examples
    --------
    >>> from splashkit.rig import demo
    >>> b'"nozzle_height_mm": 250.0' in to_bytes(demo())
    True

    References
    ----------
    House rule; no outside source.
    """
    held: dict[str, Any] = {"splashkit_rig": 1, "name": rig.name, "note": rig.note}
    if rig.invented:
        held["invented"] = True
    for entry in ENTRIES:
        value = getattr(rig, entry.name)
        # a blank is written too, so that a person sees in the file what is still to be measured
        held[entry.key] = value if value is None or not entry.factor else _rounded(value / entry.factor)
        if entry.name == "liquid" and rig.liquid_parameters:
            held["liquid_parameters"] = dict(rig.liquid_parameters)
    held |= {key: value for key, value in rig.extra.items() if key not in held}
    return (json.dumps(held, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def from_bytes(data: bytes, name: str = FILE_NAME) -> Rig:
    """Read a rig from the bytes of a ``rig.json``, as saved or as uploaded.

    Parameters
    ----------
    data : bytes
        The file's content [UTF-8 text].
    name : str
        The file's name, for the sentence when something is wrong [text].

    Returns
    -------
    Rig
        The rig in SI; unknown keys are in ``extra``.

    Raises
    ------
    ValueError
        ``store.Damaged``, naming the line and the field.

    Notes
    -----
    Valid for files up to 1 MB.

    Examples
    --------
    >>> from splashkit.rig import demo
    >>> from_bytes(to_bytes(demo())) == demo()
    True

    References
    ----------
    House rule; no outside source.
    """
    if len(data) > LARGEST_FILE:
        raise store.Damaged(name, None, None, "is larger than 1 MB and cannot be a rig", "choose another file")
    text = store.decode(name, data)
    if not text.strip():
        raise store.Damaged(name, 1, None, "is empty")

    def pairs(found: list[tuple[str, Any]]) -> dict[str, Any]:
        twice = next((key for key, times in Counter(key for key, _ in found).items() if times > 1), None)
        if twice is not None:
            raise store.Damaged(name, _line_of(text, twice), twice, "is written twice")
        return dict(found)

    def refuse(word: str) -> Any:
        raise store.Damaged(name, _line_of_word(text, word), None, f"holds {word}, which is not a number")

    try:
        held = json.loads(text, object_pairs_hook=pairs, parse_constant=refuse)
    except json.JSONDecodeError as problem:
        raise store.Damaged(name, problem.lineno, _key_before(text, problem.pos), f"breaks off or is garbled "
                            f"({problem.msg.lower()})") from None  # fmt: skip
    except RecursionError:
        raise store.Damaged(name, None, None, "is nested too deeply to be a rig", "choose another file") from None
    except store.Damaged:
        raise
    except ValueError:
        raise store.Damaged(name, None, None, "holds a number of thousands of digits") from None
    store.check_letters(name, held)
    if not isinstance(held, dict):
        raise store.Damaged(name, 1, None, "does not start with { as a rig file does")
    return _rig_from(held, text, name)


def _rig_from(held: dict[str, Any], text: str, name: str) -> Rig:
    values: dict[str, Any] = {}
    extra: dict[str, Any] = {}
    for key, value in held.items():
        if key in BY_KEY and value is not None:
            entry = BY_KEY[key]
            try:
                if isinstance(value, (list, dict)):
                    raise ValueError("it holds several values, not one")
                if entry.factor:
                    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
                    value = _rounded(value * entry.factor) if plain else value
                values[entry.name] = entry.check(value)
            except (ValueError, OverflowError) as problem:
                problem_text = str(problem).split(" To fix it")[0].rstrip(".")
                raise store.Damaged(name, _line_of(text, key), key, f"is wrong: {problem_text}") from None
        elif key in ("name", "note", "invented", "liquid_parameters"):
            wanted = {"invented": bool, "liquid_parameters": dict}.get(key, str)
            if not isinstance(value, wanted):
                raise store.Damaged(name, _line_of(text, key), key, f"must hold {_KINDS[wanted]}")
            if isinstance(value, str) and len(value) > store.LONGEST_TEXT:
                why = f"holds {len(value)} letters, more than {store.LONGEST_TEXT}"
                raise store.Damaged(name, _line_of(text, key), key, why)
            values[key] = value
        elif key not in BY_KEY and key != "splashkit_rig":
            extra[key] = value
    return Rig(**values, extra=extra)


_KINDS: dict[type, str] = {bool: "true or false", dict: "named parameters", str: "text"}


def _rounded(value: float) -> float:
    return float(f"{value:.12g}")


def _line_of(text: str, key: str) -> int | None:
    found = re.search(re.escape(json.dumps(key, ensure_ascii=False)) + r"\s*:", text)
    return text.count("\n", 0, found.start()) + 1 if found else None


def _line_of_word(text: str, word: str) -> int | None:
    found = re.search(rf"[:,\[]\s*{re.escape(word)}", text)
    return text.count("\n", 0, found.end()) + 1 if found else None


def _key_before(text: str, position: int) -> str | None:
    found = re.findall(r'"([^"\n]{1,60})"\s*:', text[:position])
    return found[-1] if found else None
