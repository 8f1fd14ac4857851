/* planes_build in plain C: what the assembler of avr/ does, for the host. */
#include "port.h"
#include "tables.h"

void planes_build(const uint8_t *level, uint8_t *dst, uint8_t registers, uint8_t halved)
{
	for (uint8_t r = 0; r < registers; r++)
		for (uint8_t k = 0; k < PLANE_COUNT; k++) {
			uint8_t byte = 0;
			for (uint8_t i = 0; i < 8; i++)
				byte |= (uint8_t)((duty_code[level[8 * r + i]] >> (halved ? k + 1 : k) & 1) << i);
			dst[PLANE_BYTES * k + r] = byte;
		}
}
