#include "core.h"
#include "crc.h"

/* Without a loop: a shift register of eight bits folded into three XORs, x << 12, x << 5 and x, byte by byte. */
OUT_OF_LINE uint16_t crc_step(uint16_t crc, uint8_t byte)
{
	uint8_t x = (uint8_t)(crc >> 8) ^ byte;
	x ^= x >> 4;
	uint8_t high = (uint8_t)crc ^ (uint8_t)(x << 4) ^ (x >> 3);
	uint8_t low = x ^ (uint8_t)(x << 5);
	return (uint16_t)high << 8 | low;
}
