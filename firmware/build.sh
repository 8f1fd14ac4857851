#!/bin/sh
# Builds the firmware with avr-gcc: the same sources give the same bytes.
#   sh firmware/build.sh <folder>        writes <name>-<board>.elf and .hex there
# Names: refresh_test (a program that exercises the refresh alone). Boards: chain, pins.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=$(mkdir -p "${1:?give the folder for the results}" && cd "$1" && pwd)
cd "$here"

flags="-mmcu=atmega328p -DF_CPU=16000000UL -Os -std=gnu99 -Wall -Wextra -Werror -Iavr -Icore
       -fshort-enums -ffunction-sections -fdata-sections -Wl,--gc-sections -Wl,--build-id=none"

# link <name> <board> <sources of its own>
link() {
	name=$1 board=$2; shift 2
	define=-DBOARD_$(echo "$board" | tr a-z A-Z)
	avr-gcc $flags "$define" -o "$out/$name-$board.elf" \
		"$@" avr/start.c "avr/refresh_$board.S" "avr/planes_$board.S" core/tables.c
	avr-objcopy -O ihex -R .eeprom "$out/$name-$board.elf" "$out/$name-$board.hex"
	avr-size "$out/$name-$board.elf" | tail -1
}

for board in chain pins; do
	link refresh_test "$board" avr/test/refresh_test.c
done
