/* CRC-16: polynomial 1021, initial FFFF, no reflection. Data followed by its check, high byte first, leaves 0. */
#ifndef CRC_H
#define CRC_H
#include <stdint.h>

#define CRC_INITIAL 0xFFFF

/* One byte further. */
uint16_t crc_step(uint16_t crc, uint8_t byte);

#endif
