/* Written by firmware/gen: do not edit. */
#ifndef TABLES_H
#define TABLES_H
#ifndef __ASSEMBLER__
#include <stdint.h>
#ifdef __AVR__
#include <avr/pgmspace.h>
#else
#define PROGMEM
#endif
#endif

/* The duty 0..2047 of a level 0..255: its low eight bits are duty_low[level]; its upper three say how many of the following levels it
 * has reached. Bits 0..2 go to the planes sub0..sub2, bits 3..10 to P0..P7. */
#define DUTY_256_AT 108
#define DUTY_512_AT 146
#define DUTY_768_AT 173
#define DUTY_1024_AT 194
#define DUTY_1280_AT 213
#define DUTY_1536_AT 228
#define DUTY_1792_AT 243

#ifndef __ASSEMBLER__
extern const uint8_t duty_low[256] PROGMEM;
#endif

#endif
