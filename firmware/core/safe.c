#include "safe.h"
#include "crc.h"

#define SAFE_MARK        0x53
#define SAFE_VERSION_IS  2

#define OF_EIGHT(x)      x, x, x, x, x, x, x, x

/* All outputs stop with in2: the most common wiring of a rear lamp, and too much stop light rather than none. */
static const uint8_t last_resort[SAFE_FLAGS + 1] IN_FLASH = {
	[SAFE_REGISTERS] = REGISTERS_MAX,
	[SAFE_STOP_IN] = 0x02,
	[SAFE_ON] = OF_EIGHT(7),
	[SAFE_OFF] = OF_EIGHT(16),
	[SAFE_STOP_OUT] = OF_EIGHT(0xFF),
};

uint16_t safe_block;
uint8_t safe_registers;

static uint8_t is_right(uint16_t at)
{
	uint16_t crc = CRC_INITIAL;
	for (uint8_t i = 0; i < SAFE_BYTES; i++)
		crc = crc_step(crc, flash_u8(at + i));
	uint8_t registers = flash_u8(at + SAFE_REGISTERS);
	return crc == 0 && flash_u8(at) == SAFE_MARK && flash_u8(at + SAFE_VERSION) == SAFE_VERSION_IS
		&& registers >= 1 && registers <= REGISTERS_MAX;
}

void safe_load(void)
{
	safe_block = is_right(SAFE_A_AT) ? SAFE_A_AT : is_right(SAFE_B_AT) ? SAFE_B_AT : flash_block(last_resort, sizeof last_resort);
	safe_registers = safe_u8(SAFE_REGISTERS);
}

uint8_t safe_u8(uint8_t at)
{
	return flash_u8(safe_block + at);
}

/* The block's groups of inputs and outputs, each input mask a byte and each output mask REGISTERS_MAX behind the one before. */
enum { STOP_GROUP, TAIL_GROUP, TURN_A_GROUP, TURN_B_GROUP };

/* Gives the level to the outputs of a group when one of its inputs is on. */
OUT_OF_LINE static void light(uint8_t *level, uint8_t in, uint8_t group, uint8_t value)
{
	if (!(in & safe_u8(SAFE_STOP_IN + group)))
		return;
	for (uint8_t r = 0; r < REGISTERS_MAX; r++) {
		uint8_t mask = safe_u8(SAFE_STOP_OUT + REGISTERS_MAX * group + r);
		for (uint8_t i = 0; i < 8; i++, mask >>= 1)
			if (mask & 1)
				level[8 * r + i] = value;
	}
}

void safe_levels(uint8_t in, uint8_t *level, uint8_t checking)
{
	light(level, in, TAIL_GROUP, safe_u8(SAFE_TAIL_LEVEL));
	if (!checking || !(safe_u8(SAFE_FLAGS) & TURN_WAITS)) {
		light(level, in, TURN_A_GROUP, FULL_LEVEL);
		light(level, in, TURN_B_GROUP, FULL_LEVEL);
	}
	light(level, in, STOP_GROUP, FULL_LEVEL);
}
