"""The shapes that the YAML files under ``knowledge/data`` must have: frozen pydantic models, one module a kind."""
