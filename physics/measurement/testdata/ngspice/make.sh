#!/bin/sh
# Makes the results beside it from the circuits, with ngspice.
set -e
for circuit in ringdown beating loop; do
	ngspice -b "$circuit.cir" >/dev/null
done
made="ngspice $(ngspice --version | sed -n 's/.*ngspice-\([0-9.]*\).*/\1/p' | head -n 1)"
for trace in ringdown beating; do
	{
		echo "# $trace.cir, $made"
		echo "time v(1)"
		awk 'NR > 1 { printf "%.7e %.7e\n", $1, $2 }' "$trace.txt"
	} >"$trace.csv"
done
{
	echo "! loop.cir, $made"
	echo "# Hz S RI R 50"
	awk '{ printf "%.8g %.9f %.9f\n", $1, $2, $3 }' loop.txt
} >loop.s1p
{
	echo "Frequency (Hz),Level (dB)"
	awk '{ printf "%.8g,%.6f\n", $1, $2 }' level.txt
} >level.csv
rm -f ringdown.txt beating.txt loop.txt level.txt
