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

/* Gives the level to the outputs of a mask when one of the inputs is on. */
static void light(uint8_t *level, uint8_t in, uint8_t inputs, uint8_t outputs, uint8_t value)
{
	if (!(in & safe_u8(inputs)))
		return;
	for (uint8_t r = 0; r < REGISTERS_MAX; r++) {
		uint8_t mask = safe_u8(outputs + r);
		for (uint8_t i = 0; i < 8; i++, mask >>= 1)
			if (mask & 1)
				level[8 * r + i] = value;
	}
}

void safe_levels(uint8_t in, uint8_t *level)
{
	light(level, in, SAFE_TAIL_IN, SAFE_TAIL_OUT, safe_u8(SAFE_TAIL_LEVEL));
	light(level, in, SAFE_TURN_B_IN, SAFE_TURN_B_OUT, FULL_LEVEL);
	light(level, in, SAFE_TURN_A_IN, SAFE_TURN_A_OUT, FULL_LEVEL);
	light(level, in, SAFE_STOP_IN, SAFE_STOP_OUT, FULL_LEVEL);
}
