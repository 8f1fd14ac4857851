#include "core.h"
#include "crc.h"

/* Without a loop: a shift register of eight bits folded into three XORs. */
OUT_OF_LINE uint16_t crc_step(uint16_t crc, uint8_t byte)
{
	uint8_t x = (uint8_t)(crc >> 8) ^ byte;
	x ^= x >> 4;
	return (uint16_t)(crc << 8) ^ ((uint16_t)x << 12) ^ ((uint16_t)x << 5) ^ x;
}
