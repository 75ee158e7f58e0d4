"""Values of the wrong kind: None where a text belongs, a table where a row belongs.

The compiled core reads an argument by its type and raises a bare :class:`TypeError` where it
cannot. Its functions and methods are wrapped here, once for the whole module, so that the error is
one of this library: the argument, what was given and what is taken instead.
"""

from __future__ import annotations

import functools
import os
import re
from collections.abc import Callable, Mapping
from types import ModuleType
from typing import Any

from mountwright.errors import KindError, MountwrightError

__all__ = ["fault", "flag", "mapping", "masked", "path", "plain", "text", "told"]

# What the compiled core raises when it cannot read an argument.
_UNREAD = (TypeError, OverflowError, ValueError, LookupError, AttributeError)
# What is taken instead, by what such an error says of it.
_TAKEN = (
    ("surrogates", "text that can be written in a file: without lone surrogates"),
    ("(Number | Text)|enum NeutralText", 'a number from 0 to 1, or a text such as "20 %"'),
    ("enum Property", "a number, or a list of temperatures and one of values"),
    ("enum Start", "a number, or a list of them"),
    ("enum BodyText", "a text, two texts, or a list of points"),
    ("dimensionality mismatch", "a number, or one row of numbers"),
    ("'str'", "a text"),
    ("'bool'", "True or False"),
    ("as an integer|scalar index|too big|unsigned", "a whole number from 0 on"),
    ("real number|Python scalars|convert to float|complex", "one number"),
    ("'Sequence'|'tuple'|to `Vec`|not iterable", "a list"),
    ("'Mapping'|'dict'", "a mapping of names to values"),
    ("string to float|inhomogeneous", "one number, or rows of numbers"),
    ("has no attribute", "an answer of this library"),
    ("path", "the path of a file"),
)


def fault(what: str, given: object, unread: BaseException) -> KindError:
    """Give the error of an argument that could not be read."""
    said = str(unread)
    taken = next((words for marks, words in _TAKEN if _marked(marks, said)), None)
    if taken is None:
        other = re.search(r"instance of '(\w+)'", said)
        taken = f"a {other[1]}" if other else said
    return KindError.of(what, given, taken)


def masked(given: object) -> KindError | None:
    """Give the error of an array that NumPy would turn into numbers by losing what it says.

    What is masked would be read as if it were not, a complex number as its real part, a yes as 1.
    """
    kind = type(given).__name__
    if kind == "MaskedArray":
        return KindError.of("", given, "an array without a mask: fill the gaps, or leave rows out")
    if kind == "ndarray" and given.dtype.kind in "bc":  # type: ignore[attr-defined]
        return KindError.of("", given, "an array of real numbers")
    return None


def text(what: str, given: object) -> str:
    """Give a text as it is; refuse all else."""
    if not isinstance(given, str):
        raise KindError.of(what, given, "a text")
    return given


def flag(what: str, given: object) -> bool:
    """Give a yes or no as it is; refuse all else."""
    if not isinstance(given, bool):
        raise KindError.of(what, given, "True or False")
    return given


def path(what: str, given: Any) -> str:
    """Give the path of a file as a text; refuse all else."""
    try:
        return text(what, os.fspath(given))
    except TypeError:
        raise KindError.of(what, given, "the path of a file") from None


def mapping(what: str, given: Mapping[str, Any] | None) -> Mapping[str, Any]:
    """Give a mapping as it is, an empty one for None; refuse all else."""
    if given is None:
        return {}
    if not isinstance(given, Mapping):
        raise KindError.of(what, given, "a mapping of names to values")
    return given


def plain(what: str, given: Any) -> Any:
    """Give what JSON can hold as it is; refuse all else."""
    if isinstance(given, Mapping):
        return {str(key): plain(f"{what} {key}", value) for key, value in given.items()}
    if isinstance(given, list | tuple):
        return [plain(what, one) for one in given]
    allowed = "a text, a number, True or False, or a list of them"
    if given is not None and not isinstance(given, str | bool | int | float):
        raise KindError.of(what, given, allowed)
    if isinstance(given, int | float) and not -(2**63) < given < 2**63:
        raise KindError.of(what, given, "a number that a file can hold")
    if isinstance(given, str) and any("\ud800" <= letter <= "\udfff" for letter in given):
        raise KindError.of(what, given, "text that can be written in a file")
    return given


def told(module: ModuleType) -> None:
    """Wrap the functions of a compiled module, and the methods of its classes."""
    for name, member in list(vars(module).items()):
        if not isinstance(member, type):
            if callable(member):
                setattr(module, name, _told(member))
            continue
        for key, held in list(vars(member).items()):
            one = getattr(member, key)
            if callable(one) and not key.startswith("_"):
                wrapped = _told(one)
                static = isinstance(held, staticmethod)
                setattr(member, key, staticmethod(wrapped) if static else wrapped)


def _told(call: Callable[..., Any]) -> Callable[..., Any]:
    @functools.wraps(call, (*functools.WRAPPER_ASSIGNMENTS, "__text_signature__"))
    def asked(*args: Any, **words: Any) -> Any:
        for given in (*args, *words.values()):
            if (no := masked(given)) is not None:
                raise no.named(_name(call, args, words, given))
        try:
            return call(*args, **words)
        except _UNREAD as unread:
            if isinstance(unread, MountwrightError):
                raise
            notes = " ".join(getattr(unread, "__notes__", ()))
            found = re.search(r"while processing '(\w+)'", notes)
            lacks = unread.obj if isinstance(unread, AttributeError) and unread.name else call
            if found is not None:
                what, given = found[1], _value(call, args, words, found[1])
            elif any(lacks is one for one in (*args, *words.values())):
                what, given = _name(call, args, words, lacks), lacks
            else:
                # Too few arguments, or a fault in a function of the caller.
                raise
            field = re.search(r"field Question\.(\w+)", str(unread))
            if field is not None and isinstance(given, dict):
                what, given = field[1], given.get(field[1])
                raise fault(what, given, unread.__cause__ or unread) from None
            raise fault(what, given, unread) from None

    return asked


def _names(call: Callable[..., Any]) -> list[str]:
    """List the arguments of a compiled function by place."""
    signature: str = getattr(call, "__text_signature__", None) or ""
    by_place = signature.strip("()").replace("$", "").partition("*")[0]
    names: list[str] = re.findall(r"(\w+)(?:=[^,]*)?(?:,|$)", by_place)
    return names


def _value(call: Callable[..., Any], args: Any, words: Any, name: str) -> object:
    named: dict[str, object] = dict(zip(_names(call), args, strict=False))
    return (named | words).get(name)


def _name(call: Callable[..., Any], args: Any, words: Any, value: object) -> str:
    named: dict[str, object] = dict(zip(_names(call), args, strict=False))
    return next((name for name, held in (named | words).items() if held is value), "an argument")


def _marked(marks: str, said: str) -> bool:
    return any(mark in said for mark in marks.split("|"))
