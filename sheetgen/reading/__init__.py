"""Reading what a person typed, kind by kind: numbers, stations, dips, dates, times, words."""
