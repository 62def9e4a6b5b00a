"""The engine's version, named in every document it makes."""

ENGINE_VERSION = "0.1.0"
