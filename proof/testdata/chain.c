// A small stand-in for the core on a chain of four registers: it proves the harness, not the lamps.
// Each refresh of 8000 cycles, in the compare interrupt: three words, lit about 80, 800 and the remaining cycles, then one sample.
//   word 1: inputs sampled last, refresh count, byte at flash 0x2000, 0x01
//   word 2: as word 1 with the last byte 0x02; word 3: the last byte 0x04
// in5 high: the main loop hangs, so that the watchdog bites. in6 high: pulls the link wire.
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/delay_basic.h>

static volatile uint8_t inputs, count, sampled;

static void send(uint8_t last) {
	uint8_t word[4] = { inputs, count, pgm_read_byte(0x2000), last };
	for (int8_t i = 3; i >= 0; i--) { SPDR = word[i]; _delay_loop_1(6); } // the far register goes out first
	PORTB |= 1 << 2;
	PORTB &= ~(1 << 2);
}

static void show(void) {
	PORTB |= 1 << 1;
	send(1);
	PORTB &= ~(1 << 1); __builtin_avr_delay_cycles(78); PORTB |= 1 << 1;
	send(2);
	PORTB &= ~(1 << 1); __builtin_avr_delay_cycles(798); PORTB |= 1 << 1;
	send(4);
	PORTB &= ~(1 << 1);
}

ISR(TIMER1_COMPA_vect) {
	OCR1A += 8000;
	if (sampled) show(); // nothing is lit before the first sample
	sampled = 1;
	uint8_t c = PINC, d = PIND;
	inputs = (c & 0x3f) | (d & 0x18) << 3;
	count++;
}

int main(void) {
	MCUSR = 0;
	wdt_enable(WDTO_60MS);
	PORTB = 1 << 1;
	DDRB = 0x2e;
	SPCR = 1 << SPE | 1 << MSTR;
	SPSR = 1 << SPI2X;
	TCCR1B = 1;
	OCR1A = 4000;
	TIMSK1 = 1 << OCIE1A;
	set_sleep_mode(SLEEP_MODE_IDLE);
	sei();
	for (;;) {
		sleep_mode();
		while (inputs & 1 << 4) ;
		DDRD = inputs & 1 << 5 ? 1 << 2 : 0;
		wdt_reset();
	}
}
