// Each of these breaks one rule of the board, chosen by BREAK; the harness must name it.
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

#define COLLISION 1
#define EARLY_LATCH 2
#define SPI_OFF 3
#define LINK_HIGH 4
#define LONE_PORT 5
#define ASLEEP 6
#define WILD 7

ISR(TIMER1_COMPA_vect) {
	OCR1A += 8000;
#if BREAK == LONE_PORT
	PORTB = 1;
	__builtin_avr_delay_cycles(20);
	PORTB = 0;
#endif
	(void)PINC;
	(void)PIND;
}

int main(void) {
#if BREAK == LONE_PORT
	DDRB = 0x3f;
#else
	DDRB = 0x2e;
#endif
#if BREAK == SPI_OFF
	SPCR = 1 << MSTR;
#elif BREAK != LONE_PORT
	SPCR = 1 << SPE | 1 << MSTR;
	SPSR = 1 << SPI2X;
	SPDR = 1;
	__builtin_avr_delay_cycles(BREAK == COLLISION ? 15 : 30); // 16 cycles a byte at fosc/2
#endif
#if BREAK != LONE_PORT
	SPDR = 2;
	__builtin_avr_delay_cycles(BREAK == EARLY_LATCH ? 14 : 30);
	PORTB |= 1 << 2;
#endif
#if BREAK == LINK_HIGH
	PORTD |= 1 << 2;
	DDRD |= 1 << 2;
#endif
	TCCR1B = 1;
	OCR1A = 4000;
	TIMSK1 = 1 << OCIE1A;
	set_sleep_mode(SLEEP_MODE_IDLE);
#if BREAK != ASLEEP
	sei();
#endif
#if BREAK == WILD
	((void (*)(void))0x3fff)();
#endif
	for (;;) sleep_mode();
}
