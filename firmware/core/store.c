#include "image.h"
#include "store.h"

#define PACER_BYTES      4       /* of these, the first is the target in TARGET_UNITs, the second its complement */
#define AT_WRITES        8       /* how often a pace has been written, low byte first */
#define BYTES            10
#define TARGET_UNIT      8       /* refreshes */
#define TARGET_MIN       30      /* what is plausible of an on-time, TARGET_UNITs */
#define TARGET_MAX       225
#define WRITES_MAX       50000   /* a cell bears 100 000: ATmega328P data sheet. More is erased, or was torn while it was written */

uint8_t store_waits;
OUTLIVES struct note store_note;

static uint8_t held[BYTES];      /* what the memory holds, or will when nothing waits any more */
static uint8_t taken;            /* bit p: pacer p has had its write */
static uint8_t base;             /* of the pacer whose bytes are being written */
static uint8_t written;          /* of its four bytes */

void store_start(void)
{
	for (uint8_t at = 0; at < BYTES; at++)
		held[at] = memory_u8(at);
}

OUT_OF_LINE static uint8_t units_of(const uint8_t *h)
{
	return h[0] >= TARGET_MIN && h[0] <= TARGET_MAX && h[1] == 0xFF - h[0] ? h[0] : 0;
}

uint16_t store_target(uint8_t pacer)
{
	return TARGET_UNIT * units_of(held + PACER_BYTES * pacer);
}

/* Whether a pace that is held will do for another: one up to a 32nd shorter, or an eighth longer. None, 0, will not. */
OUT_OF_LINE static uint8_t serves(uint8_t old, uint8_t units)
{
	return units >= (uint8_t)(old - old / 32) && units <= (uint8_t)(old + old / 8);
}

/* What a module that powers up with each flash makes of one: whether it may be stored. It is when the flash before agrees, or nothing
 * is held; and only once while the RAM lives. */
static uint8_t confirmed(uint8_t old, uint8_t units)
{
	uint8_t before = store_note.units, state = before ^ store_note.check;
	if (state == NOTE_STORED)
		return 0;
	store_note.units = units;
	store_note.check = units ^ NOTE_SEEN;
	return old == 0 || (state == NOTE_SEEN && serves(before, units));
}

void store_offer(uint8_t pacer, uint16_t target)
{
	uint8_t *h = held + PACER_BYTES * pacer;
	uint8_t units = target / TARGET_UNIT, old = units_of(h), bit = pacer + 1;
	if ((image_role & ROLE_FED) && !confirmed(old, units))
		return;
	uint16_t writes = held[AT_WRITES] | held[AT_WRITES + 1] << 8;
	if ((taken & bit) || writes == WRITES_MAX || serves(old, units))
		return;
	store_note.check = units ^ NOTE_STORED;
	writes = writes > WRITES_MAX ? 1 : writes + 1;
	h[0] = units;
	h[1] = ~units;
	held[AT_WRITES] = writes;
	held[AT_WRITES + 1] = writes >> 8;
	taken |= bit;
	if (!store_waits)
		base = PACER_BYTES * pacer;
	store_waits++;
}

void store_step(void)
{
	if (!store_waits || memory_busy())
		return;
	uint8_t at = written + (written < 2 ? base : AT_WRITES - 2);
	memory_write(at, held[at]);
	if (++written == 4) {
		written = 0;
		base ^= PACER_BYTES;             /* the other pacer, if it waits */
		store_waits--;
	}
}
