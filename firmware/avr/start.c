/* Puts the outputs into a known dark state and starts the refresh. */
#include <avr/io.h>
#include "refresh.h"

#define FIRST_INTERRUPT_CYCLES 400     /* from here to the first call of refresh_next: time to switch interrupts on */
#define SPI_BYTE_CYCLES 18

_Static_assert(CHAIN_WIDTH_P3 + 4 * CHAIN_STEP + 2 + CHAIN_WIDTH_P4 + CHAIN_WIDTH_P5 + CHAIN_WIDTH_P6 + CHAIN_WIDTH_P7
	== REFRESH_CYCLES, "the slots of the chain fill the refresh");
_Static_assert(CHAIN_WIDTH_S + CHAIN_WIDTH_P0 + CHAIN_WIDTH_P1 + CHAIN_WIDTH_P2 + CHAIN_WIDTH_P3 + CHAIN_WIDTH_P4
	+ CHAIN_WIDTH_P5 + CHAIN_WIDTH_P6 + CHAIN_WIDTH_P7 + CHAIN_DARK == REFRESH_CYCLES, "chain: light and dark fill the refresh");
_Static_assert(PINS_WIDTH_S + PINS_WIDTH_P0 + PINS_WIDTH_P1 + PINS_WIDTH_P2 + PINS_WIDTH_P3 + PINS_WIDTH_P4
	+ PINS_WIDTH_P5 + PINS_WIDTH_P6 + PINS_WIDTH_P7 + PINS_DARK == REFRESH_CYCLES, "pins: light and dark fill the refresh");

void show_p7(void);                    /* the handler that samples, asks the core and prepares a refresh */

#ifdef BOARD_CHAIN
static void outputs_dark(void)
{
	PORTB |= 1 << BLANK_BIT;
	DDRB = 1 << BLANK_BIT | 1 << LATCH_BIT | 1 << DATA_BIT | 1 << CLOCK_BIT;
	SPCR = 1 << SPE | 1 << MSTR;
	SPSR = 1 << SPI2X;
	for (uint8_t i = 0; i < 8; i++) {
		SPDR = 0;
		__builtin_avr_delay_cycles(SPI_BYTE_CYCLES);
	}
	PORTB |= 1 << LATCH_BIT;
	PORTB &= ~(1 << LATCH_BIT);
}

static void begin_with_show_p7(void)
{
	PORTB &= ~(1 << BLANK_BIT);    /* the registers hold zeros: opening /G shows nothing */
	uint16_t address = (uint16_t)show_p7;
	GPIOR0 = address;
	GPIOR1 = address >> 8;
}
#endif

#ifdef BOARD_PINS
extern void (*next_handler)(void);

static void outputs_dark(void)
{
	PORTB = 0;
	PORTD = 0;
	DDRB = 0x3f;
	DDRD = 0xfc;
	GPIOR1 = 0;                    /* the images that the first interrupt writes */
	GPIOR2 = 0;
}

static void begin_with_show_p7(void)
{
	next_handler = show_p7;
}
#endif

void refresh_stop(void)
{
	TIMSK1 = 0;
	outputs_dark();
}

void refresh_start(void)
{
	outputs_dark();
	begin_with_show_p7();
	TCCR1A = 0;
	TCCR1B = 1 << CS10;            /* one count a cycle, free running */
	OCR1A = TCNT1 + FIRST_INTERRUPT_CYCLES;
	TIFR1 = 1 << OCF1A;
	TIMSK1 = 1 << OCIE1A;
}
