"""Runs a bench command and reads what it says."""

from __future__ import annotations

import json
from typing import Any

from typer.testing import CliRunner

from dryermodel.cli.bench import app

RUNNER = CliRunner()


def run(*arguments: str) -> str:
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.stdout


def data(*arguments: str) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(run(*arguments, "--json"))
    return content


def values(*arguments: str) -> dict[str, Any]:
    return {row["key"]: row["value"] for row in data(*arguments)["rows"]}


def error(*arguments: str) -> str:
    result = RUNNER.invoke(app, list(arguments))
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    message = result.stderr
    assert message.startswith("error: ") and message.count("\n") == 1
    assert message.isascii()
    return message
