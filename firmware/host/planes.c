/* planes_build in plain C: what the assembler of avr/ does, for the host. */
#include "port.h"
#include "tables.h"

static uint16_t duty_of(uint8_t level)
{
	static const uint8_t reached[] = {
		DUTY_256_AT, DUTY_512_AT, DUTY_768_AT, DUTY_1024_AT, DUTY_1280_AT, DUTY_1536_AT, DUTY_1792_AT,
	};
	uint16_t duty = duty_low[level];
	for (uint8_t i = 0; i < sizeof reached; i++)
		if (level >= reached[i])
			duty += 256;
	return duty;
}

void planes_build(const uint8_t *level, uint8_t *dst, uint8_t registers, uint8_t halved)
{
	for (uint8_t r = 0; r < registers; r++)
		for (uint8_t k = 0; k < PLANE_COUNT; k++) {
			uint8_t byte = 0;
			for (uint8_t i = 0; i < 8; i++)
				byte |= (uint8_t)((duty_of(level[8 * r + i]) >> (halved ? k + 1 : k) & 1) << i);
			dst[PLANE_BYTES * k + r] = byte;
		}
}
