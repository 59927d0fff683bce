"""The completion for fish: one line for each thing that may be typed, each with where it may stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from making.typed import Command, Flag, Value

HEAD = """\
# What fish offers for nightload when Tab is pressed. Made by scripts/made.py from its own arguments.
# Installed with the program; otherwise:  nightload completion fish > FILE  in ~/.config/fish/completions

# Whether the line stands behind this command (none: at the program itself), at this place if one is given.
function __nightload_at --argument-names command place
    set -l found ''
    set -l count 1
    set -l behind_flag no
    set -l words (commandline -opc)
    for one in $words[2..-1]
        if test $behind_flag = yes; and not string match -qr '^-[a-z-]' -- $one
            set behind_flag no
        else if string match -q -- '-*' $one
            set behind_flag no
            contains -- $one $__nightload_valued; and set behind_flag yes
        else if test -z "$found"
            set found $one
        else
            set count (math $count + 1)
        end
    end
    test "$found" = "$command"; or return 1
    test -z "$place"; or test $place = $count
end

"""


def for_fish(commands: Sequence[Command]) -> str:
    """The whole file."""
    valued = sorted({name for one in commands for flag in one.flags if flag.values for name in flag.names})
    lines = [f"set -g __nightload_valued {' '.join(valued)}", "", "complete -c nightload -f"]
    lines += [
        f"complete -c nightload -n '__nightload_at \"\"' -a {one.name} -d {_quoted(one.says)}"
        for one in commands
        if one.name
    ]
    return HEAD + "\n".join((*lines, *(line for one in commands for line in _lines(one)), ""))


def _lines(command: Command) -> Iterator[str]:
    name = command.name or '""'
    for flag in command.flags:
        yield f"complete -c nightload -n '__nightload_at {name}' {_flag(flag)} -d {_quoted(flag.says)}"
    for at, place in enumerate(command.places, 1):
        if offered := _offered(place.value):
            where = name if place.on else f"{name} {at}"
            yield f"complete -c nightload -n '__nightload_at {where}' {offered}"


def _flag(flag: Flag) -> str:
    said = " ".join(f"-l {one[2:]}" if one.startswith("--") else f"-s {one[1:]}" for one in flag.names)
    if not flag.values or flag.optional:
        return said
    return f"{said} -r {_offered(flag.values[0])}".rstrip()


def _offered(value: Value) -> str:
    if value.words:
        return f"-a {_quoted(' '.join(value.words))}"
    if value.files:  # with the folders on the way to them
        return "-F"
    return "-a '(__fish_complete_directories)'" if value.folders else ""


def _quoted(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"
