/* The core's port for the ATmega328P. */
#ifndef PORT_H
#define PORT_H
#include <avr/pgmspace.h>
#include "refresh.h"

static inline uint8_t flash_u8(uint16_t address) { return pgm_read_byte(address); }
static inline uint16_t flash_u16(uint16_t address) { return pgm_read_word(address); }

#endif
