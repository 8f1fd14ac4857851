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

# Limits of the ATmega328P (docs/image-format.md, section 1): the core ends where the safe block begins, the loader where its mark
# does; what static memory leaves of the RAM is the stack's.
flash_limit=8064
loader_limit=2032
ram_limit=2048
stack_reserve=120

flags="-mmcu=atmega328p -DF_CPU=16000000UL -Os -std=gnu99 -Wall -Wextra -Werror -Iavr -Icore -Iloader
       -fshort-enums -ffunction-sections -fdata-sections -Wl,--gc-sections -Wl,--build-id=none"
# What measured smallest.
small="-mrelax -mstrict-X -fno-move-loop-invariants -fno-tree-pre -fno-ssa-phiopt"
# The core is one program for the optimiser, with a fixed seed for its names. The loader keeps a register to itself: never a part of it.
whole="-flto -fuse-linker-plugin -frandom-seed=lampwright"
loader_flags="-fno-lto -fno-jump-tables -fno-tree-switch-conversion"
sections="-nostartfiles -Wl,--section-start=.noinit=0x800100 -Wl,-Tdata=0x800102 -Wl,--section-start=.loader=0x7800 -Wl,--section-start=.mark=0x7FF0 -Wl,--undefined=core_mark"

# link <name> <board> <sources and flags of its own>
link() {
	name=$1 board=$2; shift 2
	avr-gcc $flags $(board_of "$board") -o "$out/$name.elf" \
		"$@" avr/start.c "avr/refresh_$board.S" "avr/planes_$board.S" core/tables.c
	avr-objcopy -O ihex -R .eeprom "$out/$name.elf" "$out/$name.hex"
	avr-size -A "$out/$name.elf" | awk -v name="$name" -v flash_limit=$flash_limit -v loader_limit=$loader_limit -v ram_limit=$ram_limit -v stack=$stack_reserve '
		{ size[$1] = $2 }
		END {
			flash = size[".text"] + size[".data"]; loader = size[".loader"]; ram = size[".data"] + size[".bss"] + size[".noinit"]
			printf "%s: flash %d of %d bytes, loader %d of %d bytes, static RAM %d of %d bytes\n", name, flash, flash_limit, loader, loader_limit, ram, ram_limit
			if (name !~ /test/ && size[".data"] > 0) { print name ": a variable has a value of its own, and nothing gives it: avr/vectors.S"; exit 1 }
			if (flash > flash_limit) { print name ": the flash limit is passed"; exit 1 }
			if (loader > loader_limit) { print name ": the loader passes its limit"; exit 1 }
			if (ram + stack > ram_limit) { print name ": less than " stack " bytes are left for the stack"; exit 1 }
		}'
}

board_of() {
	echo "-DBOARD_$1" | tr a-z A-Z
}

# The core's C, but for what has a namesake in assembler.
core=
for source in core/*.c; do
	name=$(basename "$source" .c)
	[ "$name" = tables ] || [ -f "avr/$name.S" ] || core="$core $source"
done
assembler=$(ls avr/*.S | grep -v -e refresh_ -e planes_)

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
for board in chain pins; do
	objects=
	for source in loader/*.c loader/*.S; do
		object=$scratch/$board-$(basename "$source").o
		avr-gcc $flags $small $loader_flags $(board_of "$board") -c -o "$object" "$source"
		objects="$objects $object"
	done
	link "$board" "$board" $small $whole $sections avr/main.c $assembler $core $objects
	link "refresh_test-$board" "$board" avr/test/refresh_test.c
done

printf 'avr-gcc %s\navr-libc %s\n' "$(avr-gcc -dumpversion)" \
	"$(echo '#include <avr/version.h>
__AVR_LIBC_VERSION_STRING__' | avr-gcc -E -P - | tail -1 | tr -d '"')" > "$out/toolchain.txt"
