/* The core's port for the ATmega328P. */
#ifndef PORT_H
#define PORT_H
#include <avr/interrupt.h>
#include <avr/pgmspace.h>
#include "refresh.h"
#include "loader.h"

static inline uint8_t flash_u8(uint16_t address) { return pgm_read_byte(address); }
static inline uint16_t flash_u16(uint16_t address) { return pgm_read_word(address); }

/* The address of bytes that the core brings along. */
#define IN_FLASH PROGMEM

/* Bytes that are not cleared at power-up: the first two of the RAM (build.sh). */
#define OUTLIVES __attribute__((section(".noinit")))
#define flash_block(bytes, n) ((uint16_t)(bytes))

/* The converter: its upper eight bits, against the processor's own supply, a conversion in 104 us. */
#define SENSE_SUPPLY (1 << REFS0 | 1 << ADLAR | 7)
#define SENSE_HEAT   (1 << REFS0 | 1 << ADLAR | 6)
#define SENSE_START  (1 << ADEN | 1 << ADSC | 7 << ADPS0)

/* Gives the code that was converted for a frame job, the supply's for even ones, and starts the other for the next job. */
static inline uint8_t sense_next(uint8_t job)
{
	uint8_t code = ADCH;
	ADMUX = job & 1 ? SENSE_SUPPLY : SENSE_HEAT;
	ADCSRA = SENSE_START;
	return code;
}

/* The EEPROM. A byte takes 3.4 ms to write; while it is busy nothing may be written. */
static inline uint8_t memory_busy(void) { return EECR & 1 << EEPE; }

static inline uint8_t memory_u8(uint8_t at)
{
	while (memory_busy());               /* a byte that was being written when the watchdog bit */
	EEAR = at;
	EECR |= 1 << EERE;
	return EEDR;
}

static inline void memory_write(uint8_t at, uint8_t byte)
{
	EEAR = at;
	EEDR = byte;
	cli();
	EECR |= 1 << EEMPE;
	EECR |= 1 << EEPE;
	sei();
}

/* The side that the strap in the plug says: it ties one of two pins to ground. Once: then the pins are driven low, so that they
 * neither float nor feed the strap. */
static inline uint8_t strap_side(void)
{
#ifdef BOARD_CHAIN
	uint8_t open = PIND & (1 << STRAP_LH_BIT | 1 << STRAP_RH_BIT);
	PORTD &= ~(1 << STRAP_LH_BIT);
	PORTD &= ~(1 << STRAP_RH_BIT);
	DDRD |= 1 << STRAP_LH_BIT;
	DDRD |= 1 << STRAP_RH_BIT;
	if (open == 1 << STRAP_RH_BIT)
		return SIDE_LH;
	if (open == 1 << STRAP_LH_BIT)
		return SIDE_RH;
#endif
	return SIDE_MISSING;             /* the pins board has no pin left to ask with */
}

/* One refresh of the serial line. */
extern uint8_t loader_is;            /* 1: the loader's section holds what was built with this core; constant after the start */
static inline void port_serial(void)
{
	if (loader_is)
		serial_refresh();
}

#endif
