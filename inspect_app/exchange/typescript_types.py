"""JSON Schemas from the types of the documents in frontend/src/lib/documents.ts.

Those types are where the shapes of what the engine makes are written down; a test holds every
document against them with the TypeScript compiler.  Read here is the part of the language they
are written in: interfaces, aliases, unions, `&`, arrays, `Record`, `Omit`, `Name["field"]`.
A comment behind a line describes the last field on it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Schema = dict[str, Any]
_TOKEN = re.compile(
    r"(?P<note>//[^\n]*|/\*.*?\*/)|(?P<text>\"[^\"]*\")|(?P<number>\d+)"
    r"|(?P<name>[A-Za-z_$][\w$]*)|(?P<sign>\?:|[{}()\[\]<>:;,|&=?])|(?P<space>\s+)",
    re.DOTALL,
)
_PLAIN = {"string": "string", "number": "number", "boolean": "boolean", "null": "null"}


class TypesRefused(ValueError):  # noqa: N818 - a fault of ours, said once
    """The types use what is not read here; the message says where."""


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str
    line: int


def _tokens(source: str) -> Iterator[_Token]:
    at, line = 0, 1
    while at < len(source):
        match = _TOKEN.match(source, at)
        if match is None or match.lastgroup is None:
            raise TypesRefused(f"line {line}: {source[at : at + 20]!r} is not read here")
        if match.lastgroup != "space":
            yield _Token(match.lastgroup, match[0], line)
        line += match[0].count("\n")
        at = match.end()


def schema_of_type(source: str, name: str, *, given: Mapping[str, Schema]) -> Schema:
    """The schema of the exported type `name` with all it names in `$defs`.

    given: schemas to use for some names instead of what stands in the source.
    Raises TypesRefused.
    """
    types = _Reader(source).types()
    found = _reachable(name, types, given)
    return _inlined(types[name]) | {"$defs": found} if found else _inlined(types[name])


def _inlined(schema: Schema) -> Schema:
    return {key: value for key, value in schema.items() if key != "description"}


def _reachable(name: str, types: Mapping[str, Schema], given: Mapping[str, Schema]) -> Schema:
    found: Schema = {}
    waiting = _named_in(types[name])
    while waiting:
        one = waiting.pop()
        if one not in found:
            found[one] = given.get(one) or types[one]
            waiting |= set() if one in given else _named_in(types[one])
    return dict(sorted(found.items()))


def _named_in(schema: Schema) -> set[str]:
    return set(re.findall(r'"#/\$defs/(\w+)', json.dumps(schema)))


class _Reader:
    """Recursive descent; one method a rule of the grammar."""

    def __init__(self, source: str) -> None:
        self.rest = list(_tokens(source))
        self.at = 0
        self.known: dict[str, Schema] = {}

    def types(self) -> dict[str, Schema]:
        """Every exported type by its name."""
        while self._see() is not None:
            self._take("export")
            is_alias = self._next().text == "type"
            name = self._next().text
            if is_alias:
                self._take("=")
            self.known[name] = self._union()
            if is_alias:
                self._take(";")
        return self.known

    # ---- tokens ----
    def _see(self) -> _Token | None:
        while self.at < len(self.rest) and self.rest[self.at].kind == "note":
            self.at += 1
        return self.rest[self.at] if self.at < len(self.rest) else None

    def _next(self) -> _Token:
        token = self._see()
        if token is None:
            raise TypesRefused("the source ends too soon")
        self.at += 1
        return token

    def _take(self, text: str) -> _Token:
        token = self._next()
        if token.text != text:
            raise TypesRefused(f"line {token.line}: {token.text!r} where {text!r} was due")
        return token

    def _is(self, text: str) -> bool:
        token = self._see()
        if token is None or token.text != text:
            return False
        self.at += 1
        return True

    # ---- the grammar ----
    def _union(self) -> Schema:
        self._is("|")
        options = [self._both()]
        while self._is("|"):
            options.append(self._both())
        return _any_of(options)

    def _both(self) -> Schema:
        found = self._suffixed()
        while self._is("&"):
            found = self._merged(found, self._suffixed())
        return found

    def _suffixed(self) -> Schema:
        found = self._one()
        while self._is("["):
            token = self._next()
            if token.text == "]":
                found = {"type": "array", "items": found}
                continue
            # A reference, not a copy: a type may name a field of its own, not read yet.
            found = {"$ref": f"{found['$ref']}/properties/{json.loads(token.text)}"}
            self._take("]")
        return found

    def _one(self) -> Schema:
        token = self._next()
        if token.text == "(":
            found = self._union()
            self._take(")")
            return found
        if token.text == "{":
            return self._members()
        if token.text == "[":
            return self._row()
        if token.kind in {"text", "number"}:
            return {"const": json.loads(token.text)}
        if token.text in _PLAIN:
            return {"type": _PLAIN[token.text]}
        if token.text == "unknown":
            return {}
        if token.text in {"Record", "Omit"}:
            return self._applied(token.text)
        return {"$ref": f"#/$defs/{token.text}"}

    def _row(self) -> Schema:
        entries = [self._union()]
        while self._is(","):
            entries.append(self._union())
        self._take("]")
        count = {"minItems": len(entries), "maxItems": len(entries)}
        return {"type": "array", "prefixItems": entries, **count}

    def _applied(self, name: str) -> Schema:
        self._take("<")
        first = self._union()
        self._take(",")
        second = self._union()
        self._take(">")
        if name == "Omit":
            left_out = set(_words_of(second))
            found = self._object(first)
            properties = {k: v for k, v in found["properties"].items() if k not in left_out}
            needed = [one for one in found["required"] if one not in left_out]
            return found | {"properties": properties, "required": needed}
        keys = _words_of(self._resolved(first))
        if not keys:
            return {"type": "object", "additionalProperties": second}
        return _closed(dict.fromkeys(keys, second), keys)

    def _members(self) -> Schema:
        properties: Schema = {}
        needed: list[str] = []
        while not self._is("}"):
            name = self._next().text
            if not self._is("?:"):
                self._take(":")
                needed.append(name)
            properties[name] = self._union()
            end = self._see()
            if end is not None and end.text == ";":
                self.at += 1
                properties[name] = self._described(properties[name], end.line)
        return _closed(properties, needed)

    def _described(self, schema: Schema, line: int) -> Schema:
        note = self.rest[self.at] if self.at < len(self.rest) else None
        if note is None or note.line != line or not note.text.startswith("//"):
            return schema
        return schema | {"description": note.text.removeprefix("//").strip()}

    def _resolved(self, schema: Schema) -> Schema:
        name = schema.get("$ref", "").removeprefix("#/$defs/")
        return self.known.get(name, schema)

    def _object(self, schema: Schema) -> Schema:
        found = self._resolved(schema)
        if found.get("type") != "object":
            raise TypesRefused(f"{schema} is no object with fields")
        return {"properties": {}, "required": []} | found

    def _merged(self, one: Schema, other: Schema) -> Schema:
        one, other = self._object(one), self._object(other)
        merged = _closed(
            one["properties"] | other["properties"], [*one["required"], *other["required"]]
        )
        is_open = any(part.get("additionalProperties") is not False for part in (one, other))
        return merged | {"additionalProperties": True} if is_open else merged


def _closed(properties: Schema, needed: list[str]) -> Schema:
    return {
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": False,
    }


def _words_of(schema: Schema) -> list[str]:
    if "const" in schema:
        return [schema["const"]]
    return list(schema.get("enum", []))


def _any_of(options: list[Schema]) -> Schema:
    if len(options) == 1:
        return options[0]
    if all(set(one) == {"const"} or one == {"type": "null"} for one in options):
        return {"enum": [one.get("const") for one in options]}
    if all(set(one) == {"type"} for one in options):
        return {"type": [one["type"] for one in options]}
    return {"anyOf": options}
