/* CRC-16: polynomial 1021, initial FFFF, no reflection. Data followed by its check, high byte first, leaves 0. */
#ifndef CRC_H
#define CRC_H
#include <stdint.h>

#define CRC_INITIAL 0xFFFF

/* One byte further. Without a loop: a shift register of eight bits folded into three XORs. */
static inline uint16_t crc_step(uint16_t crc, uint8_t byte)
{
	uint8_t x = (uint8_t)(crc >> 8) ^ byte;
	x ^= x >> 4;
	return (uint16_t)(crc << 8) ^ ((uint16_t)x << 12) ^ ((uint16_t)x << 5) ^ x;
}

#endif
