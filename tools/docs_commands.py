"""docs/commands.md: every command with its help, from the command line itself; None while there is none."""

import importlib
import importlib.util

import docs_text
from docs_text import cell, code, table


def page():
    if importlib.util.find_spec("layshaft.faces.cli") is None:
        return None
    from typer.main import get_command

    root = get_command(importlib.import_module("layshaft.faces.cli").app)
    parts = [first(root.help)]
    for names, command in walk(root, ("layshaft",)):
        parts += [f"## {' '.join(names)}", *described(command)]
    return docs_text.page("Commands", *parts)


def walk(command, names):
    """Every command below this one, groups first."""
    for name, below in sorted(getattr(command, "commands", {}).items()):
        if not below.hidden:
            yield (*names, name), below
            yield from walk(below, (*names, name))


def described(command):
    """Help text, arguments and options."""
    yield "\n\n".join(" ".join(p.split()) for p in (command.help or "").split("\n\n"))
    rows = [[code(name_of(p)), getattr(p, "help", None) or "", "required" if p.required else default(p)]
            for p in command.params if not getattr(p, "hidden", False) and p.name != "help"]
    yield table(["Argument or option", "Meaning", "If left out"], rows) if rows else ""


def name_of(parameter):
    if parameter.param_type_name == "argument":
        return (parameter.metavar or parameter.name or "").upper()
    return ", ".join([*parameter.opts, *parameter.secondary_opts])


def default(parameter):
    value = parameter.default
    return "" if value in (None, False, "", ()) or callable(value) else cell(value)


def first(text):
    return " ".join((text or "").split("\n\n")[0].split())
