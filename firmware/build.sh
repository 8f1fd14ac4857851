#!/bin/sh
# Builds the firmware with avr-gcc: the same sources and the same compiler give the same bytes.
#   sh firmware/build.sh             renews firmware/prebuilt: chain.hex, pins.hex and what built them
#   sh firmware/build.sh <folder>    writes <board>.elf and .hex (the module's program) and refresh_test-<board>.elf and .hex
#                                    (a program that exercises the refresh alone) there. Boards: chain, pins.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
if [ $# -eq 0 ]; then
	scratch=$(mktemp -d)
	trap 'rm -rf "$scratch"' EXIT
	sh "$here/build.sh" "$scratch"
	cp "$scratch/chain.hex" "$scratch/pins.hex" "$scratch/toolchain.txt" "$here/prebuilt/"
	exit
fi
out=$(mkdir -p "$1" && cd "$1" && pwd)
cd "$here"

# Limits of the ATmega328P: the core ends where the safe blocks begin (docs/image-format.md, section 1); what static memory
# leaves of the RAM is the stack's.
flash_limit=8064
ram_limit=2048
stack_reserve=180

flags="-mmcu=atmega328p -DF_CPU=16000000UL -Os -std=gnu99 -Wall -Wextra -Werror -Iavr -Icore
       -fshort-enums -ffunction-sections -fdata-sections -Wl,--gc-sections -Wl,--build-id=none"
# One program for the optimiser, with a fixed seed for its names; the rest is what measured smallest.
whole="-flto -fuse-linker-plugin -frandom-seed=lampwright -mrelax -mstrict-X -fno-move-loop-invariants -fno-tree-pre"

# link <name> <board> <sources and flags of its own>
link() {
	name=$1 board=$2; shift 2
	define=-DBOARD_$(echo "$board" | tr a-z A-Z)
	avr-gcc $flags "$define" -o "$out/$name.elf" \
		"$@" avr/start.c "avr/refresh_$board.S" "avr/planes_$board.S" core/tables.c
	avr-objcopy -O ihex -R .eeprom "$out/$name.elf" "$out/$name.hex"
	avr-size "$out/$name.elf" | awk -v name="$name" -v flash_limit=$flash_limit -v ram_limit=$ram_limit -v stack=$stack_reserve '
		NR == 2 {
			printf "%s: flash %d of %d bytes, static RAM %d of %d bytes\n", name, $1 + $2, flash_limit, $2 + $3, ram_limit
			if ($1 + $2 > flash_limit) { print name ": the flash limit is passed"; exit 1 }
			if ($2 + $3 + stack > ram_limit) { print name ": less than " stack " bytes are left for the stack"; exit 1 }
		}'
}

for board in chain pins; do
	link "$board" "$board" $whole avr/main.c avr/player.S avr/paint.S avr/inputs.S $(ls core/*.c | grep -v -e tables.c -e routine.c -e paint.c -e inputs.c)
	link "refresh_test-$board" "$board" avr/test/refresh_test.c
done

printf 'avr-gcc %s\navr-libc %s\n' "$(avr-gcc -dumpversion)" \
	"$(echo '#include <avr/version.h>
__AVR_LIBC_VERSION_STRING__' | avr-gcc -E -P - | tail -1 | tr -d '"')" > "$out/toolchain.txt"
