/* The core's port for the host: flash is an array, planes are laid out as on the chain board. Tests only. */
#ifndef PORT_H
#define PORT_H
#include <stdint.h>

#define PLANE_COUNT  11      /* sub0, sub1, sub2, P0..P7, in this order in memory */
#define PLANE_BYTES  8
#define FLASH_BYTES  0x10000UL  /* an offset of 16 bits may point anywhere; behind 0x8000 it reads 0xFF */

extern uint8_t flash[FLASH_BYTES];
extern uint8_t link_low;     /* 1: the core pulls the link wire low */

static inline uint8_t flash_u8(uint16_t address) { return flash[address]; }
static inline uint16_t flash_u16(uint16_t address) { return flash[address] | (uint16_t)flash[(uint16_t)(address + 1)] << 8; }
static inline void link_pull(void) { link_low = 1; }
static inline void link_release(void) { link_low = 0; }

/* The contract of these is in avr/refresh.h. */
extern uint8_t planes[2][PLANE_COUNT][PLANE_BYTES];
extern uint8_t force_now[8];
extern uint8_t *shown;
uint8_t refresh_next(uint8_t in, uint8_t link);
void planes_build(const uint8_t *level, uint8_t *dst, uint8_t registers);

#endif
