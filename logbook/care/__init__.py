"""The whole year around the nights: upkeep, wood shed, supplies, lists. Pure, as the heat model is."""
