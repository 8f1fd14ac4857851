// A small stand-in for the core on a chain of four registers that takes in all that a module can: it proves the harness, not the lamps.
// Each refresh of 8000 cycles: one sample, and two words from then on:
//   word 1: inputs sampled last, supply code, heat code, last byte heard
//   word 2: strap (bit 0 LH, bit 1 RH, as grounded), EEPROM byte 1 as found, starts (EEPROM byte 0, counted up), wakes
// in8 high: dark, then power-down until a pin changes. BAD 1: lit in power-down, 2: watchdog on, 3: converter on,
// 4: converter on its own reference, 5: EEPROM written twice without a wait.
#include <avr/eeprom.h>
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/delay_basic.h>

#ifndef BAD
#define BAD 0
#endif

static volatile uint8_t inputs, supply, heat, heard, strap, found, starts, wakes, sampled, phase;

static void word(uint8_t a, uint8_t b, uint8_t c, uint8_t d)
{
	uint8_t w[4] = { a, b, c, d };
	for (int8_t i = 3; i >= 0; i--) { SPDR = w[i]; _delay_loop_1(6); }
	PORTB |= 1 << 2;
	PORTB &= ~(1 << 2);
}

static void convert(uint8_t channel)
{
	ADMUX = (BAD == 4 ? 3 << REFS0 : 1 << REFS0) | 1 << ADLAR | channel;
	ADCSRA |= 1 << ADSC;
}

ISR(TIMER1_COMPA_vect)
{
	OCR1A += 8000;
	PORTB &= ~(1 << 1);
	if (sampled) {
		word(inputs, supply, heat, heard);
		word(strap, found, starts, wakes);
	}
	sampled = 1;
	uint8_t c = PINC, d = PIND;
	inputs = (c & 0x3f) | (d & 0x18) << 3;
	if (UCSR0A & 1 << RXC0) heard = UDR0;
	if (phase & 1) heat = ADCH; else supply = ADCH;
	convert(phase++ & 1 ? 7 : 6);
}

EMPTY_INTERRUPT(PCINT1_vect)
ISR(PCINT2_vect, ISR_ALIASOF(PCINT1_vect));

static void down(void)
{
	cli();
	if (BAD != 1) word(0, 0, 0, 0); else word(1, 0, 0, 0);
	if (BAD != 3) ADCSRA = 0;
	if (BAD == 2) wdt_enable(WDTO_60MS);
	PCMSK1 = 0x3f;
	PCMSK2 = 1 << 0 | 1 << 3 | 1 << 4;
	PCIFR = 7;
	PCICR = 1 << PCIE1 | 1 << PCIE2;
	TIMSK1 = 0;
	set_sleep_mode(SLEEP_MODE_PWR_DOWN);
	sleep_enable();
	sei();
	sleep_cpu();
	sleep_disable();
	PCICR = 0;
	wakes++;
	inputs = 0;
	ADCSRA = 1 << ADEN | 7;
	phase = 0;
	convert(7);
	OCR1A = TCNT1 + 4000;
	TIFR1 = 1 << OCF1A;
	TIMSK1 = 1 << OCIE1A;
	set_sleep_mode(SLEEP_MODE_IDLE);
}

int main(void)
{
	MCUSR = 0;
	wdt_disable();
	PORTB = 1 << 1;
	DDRB = 0x2e;
	PORTD = 3 << 5;
	SPCR = 1 << SPE | 1 << MSTR;
	SPSR = 1 << SPI2X;
	word(0, 0, 0, 0);
	UBRR0 = 103;
	UCSR0A = 1 << U2X0;
	UCSR0B = 1 << RXEN0 | 1 << TXEN0;
	ADCSRA = 1 << ADEN | 7;
	convert(7);
	strap = ~PIND >> 5 & 3;
	found = eeprom_read_byte((uint8_t *)1);
	starts = eeprom_read_byte((uint8_t *)0) + 1;
	eeprom_write_byte((uint8_t *)0, starts);
	if (BAD == 5) { EEAR = 1; EEDR = 7; EECR |= 1 << EEMPE; EECR |= 1 << EEPE; }
	UDR0 = 0x5a;
	UDR0 = starts;
	TCCR1B = 1;
	OCR1A = 4000;
	TIMSK1 = 1 << OCIE1A;
	set_sleep_mode(SLEEP_MODE_IDLE);
	sei();
	for (;;) {
		sleep_mode();
		if (inputs & 1 << 7) down();
	}
}
