"""The error tree.

LogbookError                 exit 1: refused, with a reason
├── NoDescriptionError       exit 1: the log has no description of the cabin yet
├── BadInputError            exit 2: what was given cannot be used
│   ├── EntryError           exit 2: a typed line
│   ├── DescriptionError     exit 2: a description file
│   └── TableError           exit 2: a CSV file, with its refused rows
└── LogFileError             exit 3: the log could not be read or written
    └── NewerLogError        exit 3: a newer version of this program wrote it

Every message says what is wrong, with the numbers, and on the next line what to do.
Only ``cli.py`` and ``ui/`` catch these.
"""


class LogbookError(Exception):
    """Refused with a reason; the base of every error meant for the owner."""

    exit_code = 1


class NoDescriptionError(LogbookError):
    """The log has no description of the cabin and stove yet."""


class BadInputError(LogbookError):
    """What was given cannot be used as it stands."""

    exit_code = 2


class EntryError(BadInputError):
    """A typed line cannot be kept as it stands."""


class DescriptionError(BadInputError):
    """A description file cannot be used."""


class TableError(BadInputError):
    """A table could not be brought in."""


class LogFileError(LogbookError):
    """The log file could not be read or written."""

    exit_code = 3


class NewerLogError(LogFileError):
    """The log is of a later format than this version knows."""


def beyond_measure() -> LogFileError:
    """What to tell of a number without end in the log."""
    return LogFileError(
        "The log holds a number beyond all measure, which this program never writes.\n"
        "Look which one: nightload check. Then bring back a copy: nightload restore lists them."
    )
