"""What a line says besides the night: ash, upkeep, the wood shed, supplies, lists, the stay, damp, weather.

A line that begins with a matter's word, its time aside, is read whole: its numbers are amounts, never
temperatures or air. Where such a line says something else, nothing is read here and it is a note as ever.
"""

from logbook.entry.matters.heads import may_name_supply, may_tell_matter, names_supply

__all__ = ["may_name_supply", "may_tell_matter", "names_supply"]
