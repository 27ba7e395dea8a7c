"""Reading what a person typed, in an order or a log: numbers, stations, dips, dates, times, words.

Each reader gives an :class:`~sheetgen.reading.outcome.Outcome`: the value, the reason why it was read so or not at all,
and the other values that it could be. The order turns a reason into a mistake, the recheck into a finding. What a
reader must know besides the cell (units, language, notation of the stick, names) is handed to it.
"""
