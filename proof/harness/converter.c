// The converter: 1.6 makes its result when it is read and asks other parts for voltages; this one samples the board's two codes when
// a real one would (ATmega328P data sheet, "Prescaling and Conversion Timing").
#include <string.h>
#include "harness.h"

enum { ADCL = 0x78, ADCH, ADCSRA, ADCSRB, ADMUX };
enum { ADEN = 0x80, ADSC = 0x40, ADATE = 0x20, ADIF = 0x10, ADIE = 0x08, ADLAR = 0x20, REFS = 0xc0, REFS_AVCC = 0x40 };
enum { CHANNEL_HEAT = 6, CHANNEL_SUPPLY = 7, LEAST_DIVIDER = 16 }; // eight bits bear a converter clock of 1 MHz (data sheet)

static avr_cycle_count_t done(avr_t *a, avr_cycle_count_t when, void *param) {
	module_t *m = param;
	uint16_t v = m->adc.result;
	(void)when;
	if (a->data[ADMUX] & ADLAR) v <<= 6;
	a->data[ADCL] = v; a->data[ADCH] = v >> 8;
	a->data[ADCSRA] = (a->data[ADCSRA] & ~ADSC) | ADIF;
	m->adc.busy = 0;
	if (a->data[ADCSRA] & ADIE) avr_raise_interrupt(a, &m->adc.of->adc);
	return 0;
}
static avr_cycle_count_t sample(avr_t *a, avr_cycle_count_t when, void *param) {
	module_t *m = param;
	int sense = m->adc.channel == CHANNEL_HEAT ? SENSE_HEAT : SENSE_SUPPLY;
	(void)a; (void)when;
	m->adc.result = m->code[sense] << 2 | 2;             // the middle of the code
	record_code(m, sense, m->code[sense]);
	return 0;
}
static void adcsra_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	uint8_t was = a->data[addr];
	int divider = v & 7 ? 1 << (v & 7) : 2, channel = a->data[ADMUX] & 15;
	a->data[addr] = (v & ~(ADSC | ADIF)) | (was & ~v & ADIF) | (m->adc.busy ? ADSC : 0);
	if (!(v & ADEN)) {
		avr_cycle_timer_cancel(a, sample, m); avr_cycle_timer_cancel(a, done, m);
		m->adc.busy = 0; m->adc.clock = 0;
		a->data[addr] &= ~ADSC;
		return;
	}
	if (!(v & ADSC) || m->adc.busy || a->data[PRR] & PRADC) return;
	int first = !(was & ADEN) || !m->adc.clock;         // the first conversion sets the converter up
	if (divider < LEAST_DIVIDER || (a->data[ADMUX] & REFS) != REFS_AVCC || v & ADATE || (channel != CHANNEL_SUPPLY && channel != CHANNEL_HEAT)) { fault(m, FAULT_CONVERTER); return; }
	m->adc.busy = 1; m->adc.channel = channel; m->adc.clock = divider;
	a->data[addr] |= ADSC;
	avr_cycle_timer_register(a, divider * (first ? 27 : 3) / 2, sample, m);  // 13.5 and 1.5 clocks
	avr_cycle_timer_register(a, divider * (first ? 25 : 13), done, m);
}
void converter_reset(module_t *m) { m->adc.busy = 0; m->adc.clock = 0; }
void converter_make(module_t *m) {
	for (avr_io_t *io = m->avr->io_port; io; io = io->next) if (!strcmp(io->kind, "adc")) m->adc.of = (avr_adc_t *)io;
	if (!m->adc.of) die("libsimavr has no converter");
	hook_write(m, ADCSRA, adcsra_write);
	hook_write(m, ADMUX, NULL);
	hook_read(m, ADCL, NULL); hook_read(m, ADCH, NULL);
}
