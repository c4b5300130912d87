"""The rig on the disk: read, saved beside other lessons, uploaded.

A damaged file is never overwritten: the new rig goes beside it.
"""

from __future__ import annotations

import contextlib
from dataclasses import fields, replace
from pathlib import Path

from splashkit import store
from splashkit.checks import require
from splashkit.rig.entries import BY_NAME
from splashkit.rig.numbers import Rig, demo
from splashkit.rig.text import FILE_NAME, LARGEST_FILE, from_bytes, to_bytes


def path() -> Path:
    """Return where the rig is kept.

    Returns
    -------
    pathlib.Path
        ``rig.json`` in the learner's folder.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Valid on every system; ``SPLASHKIT_HOME`` chooses another folder.

    Examples
    --------
    >>> path().name
    'rig.json'

    References
    ----------
    House rule; no outside source.
    """
    return store.place(FILE_NAME)


def load() -> Rig | None:
    """Read the learner's rig.

    Returns
    -------
    Rig or None
        None when no rig has been saved yet.

    Raises
    ------
    ValueError
        If the file is damaged or cannot be read; the sentence names line and field.

    Notes
    -----
    Valid at any time, also while another lesson is saving.

    Examples
    --------
    >>> loaded = load()  # None before the first save

    References
    ----------
    House rule; no outside source.
    """
    data = store.read(path())
    return None if data is None else from_bytes(data, FILE_NAME)


def load_or_demo() -> tuple[Rig, str]:
    """Read the learner's rig, or the demo rig when there is none, with a sentence that says which.

    Returns
    -------
    tuple of Rig and str
        The rig, and what to tell the learner. Blanks are left blank: ``rig.filled()`` fills them.

    Raises
    ------
    ValueError
        Never: what is wrong with the file is in the sentence.

    Notes
    -----
    Valid always. A damaged file is left alone; what was saved beside it, or the version before, is used.

    Examples
    --------
    >>> rig, sentence = load_or_demo()

    References
    ----------
    House rule; no outside source.
    """
    try:
        found = load()
        if found is not None:
            return found, f"These numbers come from your own {FILE_NAME}."
        problem = "No rig is saved yet."
    except ValueError as error:
        problem = str(error)
        for other in (store.beside(path()), path().with_name(f"{path().name}.previous")):
            with contextlib.suppress(ValueError):
                data = store.read(other)
                if data is not None:
                    return from_bytes(data, other.name), f"{problem} Until then {other.name} is used."
    return demo(), f"{problem} These numbers are an invented demo rig: type your own in lesson 00."


def save(rig: Rig, since: Rig | None = None) -> str:
    """Save the learner's rig, keeping the version before it.

    Parameters
    ----------
    rig : Rig
        The rig, in SI [mixed units].
    since : Rig, optional
        The rig that was read before the changes: what another lesson has saved since then stays [mixed units].

    Returns
    -------
    str
        A sentence that says where it went.

    Raises
    ------
    ValueError
        If the disk refuses; nothing saved before is lost.

    Notes
    -----
    Valid while other lessons are open. A damaged file is never overwritten: the new rig goes beside
    it as ``rig.new.json``.

    Examples
    --------
    >>> sentence = save(demo())  # doctest: +SKIP

    References
    ----------
    House rule; no outside source.
    """
    require(
        len(to_bytes(rig)) <= LARGEST_FILE,
        "rig's file",
        "more",
        "at most 1 MB",
        "keep long notes in a file of their own",
    )
    target = path()
    stays: tuple[str, ...] = ()
    with store.locked(target):
        try:
            old = store.read(target)
            if old is not None:
                rig, stays = _merged(from_bytes(old, FILE_NAME), rig, since)
        except store.Damaged as problem:
            store.replace(store.beside(target), to_bytes(rig))
            return f"{problem} Your new numbers are saved beside it as {store.beside(target).name}."
        store.replace(target, to_bytes(rig))
    kept = f" The version before it is {target.name}.previous." if old is not None else ""
    if stays:
        kept += f" What was saved elsewhere meanwhile stays: {', '.join(stays)}."
    return f"Saved in {target}.{kept}"


def upload(data: bytes) -> Rig:
    """Save an uploaded ``rig.json`` as the learner's rig, keeping the version before it.

    Parameters
    ----------
    data : bytes
        The file's content [UTF-8 text].

    Returns
    -------
    Rig
        The rig that is now saved.

    Raises
    ------
    ValueError
        If the upload is damaged, naming line and field; then nothing is changed.

    Notes
    -----
    Valid for files up to 1 MB. For download use :func:`to_bytes`.

    Examples
    --------
    >>> rig = upload(to_bytes(demo()))  # doctest: +SKIP

    References
    ----------
    House rule; no outside source.
    """
    rig = from_bytes(data, "The uploaded file")
    save(rig)
    return rig


def _merged(disk: Rig, new: Rig, since: Rig | None) -> tuple[Rig, tuple[str, ...]]:
    """Put what changed since a rig was read into the one on the disk; name what somebody else changed there."""
    if since is None:
        return new, ()
    names = [field.name for field in fields(Rig)]
    if new.liquid != since.liquid:
        names.remove("liquid_parameters")  # they belong to the liquid chosen
    stays = [name for name in names if getattr(new, name) == getattr(since, name) != getattr(disk, name)]
    words = tuple(name.replace("_", " ") for name in stays if name in BY_NAME)
    return replace(new, **{name: getattr(disk, name) for name in stays}), words
