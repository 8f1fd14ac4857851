// A small stand-in for the core on twelve pins: outputs 1..6 copy the inputs, outputs 7..12 count refreshes of 8000 cycles.
// in6 high: pulls the link wire.
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

static volatile uint8_t inputs, count;

ISR(TIMER1_COMPA_vect) {
	OCR1A += 8000;
	uint8_t b = inputs & 0x3f, d = count << 2;
	PORTB = b;
	PORTD = d;
	uint8_t c = PINC, link = PIND;
	inputs = (c & 0x3f) | (link & 1) << 7;
	count++;
}

int main(void) {
	DDRB = 0x3f;
	DDRD = 0xfc;
	TCCR1B = 1;
	OCR1A = 4000;
	TIMSK1 = 1 << OCIE1A;
	set_sleep_mode(SLEEP_MODE_IDLE);
	sei();
	for (;;) {
		sleep_mode();
		DDRD = 0xfc | (inputs >> 5 & 1);
	}
}
