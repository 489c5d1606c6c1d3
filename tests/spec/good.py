"""A good specification in which every key differs from its default."""

FULL = """\
title    = "Saltmarsh four-way"
revision = "B"
[band]
lowest    = "1.8 MHz"
highest   = "10.15 MHz"
impedance = "50 ohm"
region    = 1
[[antenna]]
label = "north"
feed  = "12 V 60 mA"
impedance = "75 ohm"
idle = "open"
braid_breaker = true
surge = false
connector = "F"
fitted = false
[[antenna]]
label = "east"
[output]
impedance = "75 ohm"
feed = "5 V, 0,1 A"
braid_breaker = true
connector = "BNC"
attenuator = "6 dB, 10,0 dB, 20 dB"
[switching]
relays_in_series = 2
idle             = "open"
braid_breakers   = "output"
compensation     = "all"
feed_arrangement = "common-mode choked"
refine           = "all"
feed_lines       = "shared"
bus_braid        = "floating"
termination      = "single"
extra_turns      = 2
[prefer]
parts = "small"
[protection]
surge       = false
earth_to_0v = "linked"
reverse     = false
[control]
coil        = "24 V"
supply      = "26..28 V"
drive       = "low side"
cable       = "0.5 mm2"
conductors  = 6
cables      = 2
length      = "180 m"
returns     = 3
hottest     = "60 degC"
coldest     = "-10 degC"
entry       = "studs"
indicators  = true
[parts]
relay = "relay-x"
keep  = "values.json"
[targets]
insertion_loss = "0.5 dB"
return_loss    = "20 dB to 7 MHz"
isolation      = "60 dB up to 3500 kHz"
common_mode    = "5k to 1.8 MHz"
[box]
mounting = "lid"
pitch    = "22 mm"
[documents]
decimal    = "comma"
paper      = "Letter"
dimensions = "inch beside"
[order]
boards   = 2
spares   = "15 %"
currency = "EUR"
"""
