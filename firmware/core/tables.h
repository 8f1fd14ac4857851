/* Written by firmware/gen: do not edit. */
#ifndef TABLES_H
#define TABLES_H
#include <stdint.h>
#ifdef __AVR__
#include <avr/pgmspace.h>
#else
#define PROGMEM
#endif

/* duty_code[level]: the duty 0..2047 of a level 0..255. Bits 0..2 go to the planes sub0..sub2, bits 3..10 to P0..P7. */
extern const uint16_t duty_code[256] PROGMEM;

#endif
