/* The core's port for the host: flash and EEPROM are arrays, planes are laid out as on the chain board. Tests only. */
#ifndef PORT_H
#define PORT_H
#include <stdint.h>
#include <string.h>

#define PLANE_COUNT  11      /* sub0, sub1, sub2, P0..P7, in this order in memory */
#define PLANE_BYTES  8
#define FLASH_BYTES  0x10000UL  /* an offset of 16 bits may point anywhere; behind 0x8000 it reads 0xFF */
#define EEPROM_BYTES 10

extern uint8_t flash[FLASH_BYTES];
extern uint8_t eeprom[EEPROM_BYTES];
extern uint8_t link_low;     /* 1: the core pulls the link wire low */
extern uint8_t strap;        /* what the side strap says */
extern uint8_t serial_fresh; /* a streamed frame came whole */
extern uint8_t serial_heard; /* a byte came */

static inline uint8_t flash_u8(uint16_t address) { return flash[address]; }
static inline uint16_t flash_u16(uint16_t address) { return flash[address] | (uint16_t)flash[(uint16_t)(address + 1)] << 8; }

/* Puts bytes that the core brings along where no image and no safe block are. */
#define IN_FLASH
#define OUTLIVES
static inline uint16_t flash_block(const uint8_t *bytes, uint16_t n) { memcpy(flash, bytes, n); return 0; }

static inline void link_pull(void) { link_low = 1; }
static inline void link_release(void) { link_low = 0; }
static inline uint8_t strap_side(void) { return strap; }
static inline uint8_t memory_u8(uint8_t at) { return eeprom[at]; }
static inline uint8_t memory_busy(void) { return 0; }
static inline void memory_write(uint8_t at, uint8_t byte) { eeprom[at] = byte; }
static inline void port_serial(void) {}

/* Gives what was converted for a job, and converts for the next. */
uint8_t sense_next(uint8_t job);

/* The contract of these is in avr/refresh.h. */
extern uint8_t planes[2][PLANE_COUNT][PLANE_BYTES];
extern uint8_t force_now[8];
extern uint8_t *shown;
uint8_t refresh_next(uint8_t in, uint8_t link);
void planes_build(const uint8_t *level, uint8_t *dst, uint8_t registers, uint8_t halved);

#endif
