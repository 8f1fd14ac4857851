#include "safe.h"
#include "crc.h"

#define SAFE_MARK        0x53

uint16_t safe_block;
uint8_t safe_registers;

static uint8_t is_right(uint16_t at)
{
	uint16_t crc = CRC_INITIAL;
	for (uint8_t i = 0; i < SAFE_BYTES; i++)
		crc = crc_step(crc, flash_u8(at + i));
	uint8_t registers = flash_u8(at + SAFE_REGISTERS);
	return crc == 0 && flash_u8(at) == SAFE_MARK && flash_u8(at + SAFE_VERSION) == 1
		&& registers >= 1 && registers <= REGISTERS_MAX;
}

void safe_load(void)
{
	safe_block = is_right(SAFE_A_AT) ? SAFE_A_AT : is_right(SAFE_B_AT) ? SAFE_B_AT : 0;
	safe_registers = safe_u8(SAFE_REGISTERS);
}

/* All outputs stop with in2: the most common wiring of a rear lamp, and too much stop light rather than none. */
static uint8_t last_resort(uint8_t at)
{
	if (at == SAFE_REGISTERS)
		return REGISTERS_MAX;
	if (at == SAFE_STOP_IN)
		return LAST_STOP_IN;
	if (at < SAFE_ON)
		return 0;
	if (at < SAFE_OFF)
		return LAST_ON;
	if (at < SAFE_STOP_OUT)
		return LAST_OFF;
	return at < SAFE_TAIL_OUT ? 0xFF : 0;
}

uint8_t safe_u8(uint8_t at)
{
	return safe_block ? flash_u8(safe_block + at) : last_resort(at);
}

/* The block's groups of inputs and outputs, each input mask a byte and each output mask REGISTERS_MAX behind the one before. */
enum { STOP_GROUP, TAIL_GROUP, TURN_A_GROUP, TURN_B_GROUP, GROUPS };

/* Gives the level to the outputs of a group when one of its inputs is on. */
static void light(uint8_t *level, uint8_t in, uint8_t group, uint8_t value)
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

void safe_levels(uint8_t in, uint8_t *level)
{
	uint8_t value = safe_u8(SAFE_TAIL_LEVEL);
	for (uint8_t group = TAIL_GROUP; group < TAIL_GROUP + GROUPS; group++) {
		light(level, in, group % GROUPS, value);
		value = FULL_LEVEL;
	}
}
